# SPDX-License-Identifier: GPL-3.0-or-later
# zsh -f zsh_offers.zsh FILE : reads command lines, and prints for each what zsh with the completion
# in FILE offers at its end, one a line, and then a line with a point. It types them into a zsh on a
# pseudo-terminal, in which compadd, the builtin that every match goes through, is watched.
emulate -L zsh
zmodload zsh/zpty || exit 1

file=${1:A}
place=$(mktemp -d)
offered=$place/offered
trap 'rm -rf $place' EXIT

# What the shell on the terminal starts with.
cat > $place/.zshrc <<END
PROMPT= RPROMPT=
unset zle_bracketed_paste
LISTMAX=10000
fpath=(${(q)file:h} \$fpath)
autoload -Uz compinit
compinit -D -u
offered=${(q)offered}
END
cat >> $place/.zshrc <<'END'
compadd() {
  # With -O, -A or -D it only sorts words into arrays.
  local word
  for word in "$@"; do
    [[ $word == (-|--) ]] && break
    if [[ $word == -(O|A|D)* ]]; then
      builtin compadd "$@"
      return
    fi
  done
  local -a hits
  builtin compadd -A hits "$@"
  (($#hits)) && print -rl -- "<hit>"${^hits} >> $offered
  builtin compadd "$@"
}
asked() {
  zle complete-word
  zle kill-whole-line
  print -r "<asked>" >> $offered
}
zle -N asked
bindkey '^I' asked
print -r "<ready>" >> $offered
END

: > $offered
export ZDOTDIR=$place
zpty -b shell zsh -d -i

# await WORD : until it stands in the file. What the shell draws must be read, or it stops.
await() {
  local drawn
  integer waited=0
  until [[ "$(<$offered)" == *$1* ]]; do
    while zpty -r -t shell drawn; do :; done
    sleep 0.05
    if ((++waited > 1200)); then
      print -u2 "the shell on the terminal doesn't come to $1"
      exit 1
    fi
  done
}

await "<ready>"
while IFS= read -r line; do
  : > $offered
  zpty -n -w shell "$line"$'\t'
  await "<asked>"
  for hit in ${(f)"$(<$offered)"}; do
    [[ $hit == "<hit>"?* ]] && print -r -- ${hit#<hit>}
  done
  print -r
  print -r .
done
zpty -d shell
