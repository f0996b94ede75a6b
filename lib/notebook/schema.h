// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

#include "notebook/database.h"

// The tables of a notebook, and how those of an older one become today's.
namespace trueblank::notebook {

/// Kept in the file's header as its user_version.
[[nodiscard]] std::int64_t newest_schema();

/// The version of the tables in a file; 0 where there is nothing in it yet. One transaction: where
/// another program makes the tables meanwhile, the version before or after.
/// throws  InputError: no notebook, a newer one
[[nodiscard]] std::int64_t schema_of(Database& database);

/// One transaction: what was there stays, or becomes today's as a whole. Also makes a new one.
void bring_up_to_date(Database& database);

}  // namespace trueblank::notebook
