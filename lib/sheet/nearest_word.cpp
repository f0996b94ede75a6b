// SPDX-License-Identifier: GPL-3.0-or-later
// The edit distance with neighbours that change places: F. J. Damerau, Communications of the ACM
// 7(3), 171-176, 1964, in its restricted form (no piece is edited twice).
#include "sheet/nearest_word.h"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace trueblank::sheet {

namespace {

constexpr std::size_t longest_word = 64;
constexpr int most_slips = 3;

char small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

int slips(std::string_view a, std::string_view b) {
  std::vector<int> before(b.size() + 1);
  std::vector<int> last(b.size() + 1);
  std::vector<int> now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int other = small(a[i - 1]) == small(b[j - 1]) ? 0 : 1;
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + other});
      if (i > 1 && j > 1 && small(a[i - 1]) == small(b[j - 2]) &&
          small(a[i - 2]) == small(b[j - 1])) {
        now[j] = std::min(now[j], before[j - 2] + 1);
      }
    }
    std::swap(before, last);
    std::swap(last, now);
  }
  return last[b.size()];
}

}  // namespace

std::string_view nearest_word(std::string_view word, std::span<const std::string_view> known) {
  if (word.empty() || word.size() > longest_word) return {};
  std::string_view best;
  int fewest = most_slips + 1;
  for (const std::string_view candidate : known) {
    const int longest = static_cast<int>(std::max(word.size(), candidate.size()));
    const int count = slips(word, candidate);
    if (count <= std::max(1, longest / 3) && count < fewest) {
      best = candidate;
      fewest = count;
    }
  }
  return best;
}

std::string listed(std::span<const std::string_view> words) {
  std::string text;
  for (const std::string_view word : words) {
    if (!text.empty()) text += ", ";
    text += word;
  }
  return text;
}

}  // namespace trueblank::sheet
