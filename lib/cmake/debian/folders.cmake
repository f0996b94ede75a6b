# SPDX-License-Identifier: GPL-3.0-or-later
# Run by cpack before it packs. Whatever the umask of who packs, folders are open to all; CMake 3.25
# gives only files their modes.
file(CHMOD_RECURSE ${CPACK_TEMPORARY_DIRECTORY} DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
