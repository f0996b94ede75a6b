// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/edges.h"

namespace trueblank::intake {

/// Drops facets over the same three corners as another. Of facets wound alike one stays. Facets
/// wound against each other cancel (a fin drawn from both sides), save in a piece that is drawn
/// from both sides for the most part: there one of each stays.
///
/// returns       how many were dropped
int drop_repeated(Corners& facets, int vertex_count);

}  // namespace trueblank::intake
