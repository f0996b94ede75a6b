// SPDX-License-Identifier: GPL-3.0-or-later
// Says what version it was linked with.
#include <cstdio>
#include <string>

#include "report/version.h"

int main() { std::puts(std::string(trueblank::report::version()).c_str()); }
