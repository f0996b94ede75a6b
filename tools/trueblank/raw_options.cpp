// SPDX-License-Identifier: GPL-3.0-or-later
#include "raw_options.h"

#include <array>

namespace trueblank::tools {

bool takes_body(const std::string& verb) {
  return verb != "float" && verb != "ballast" && !verb.starts_with("notebook");
}

std::span<const SheetKey> body_options() {
  static constexpr std::array<SheetKey, 15> options = {{{"--units", "units"},
                                                        {"--length", "length"},
                                                        {"--width", "width"},
                                                        {"--height", "height"},
                                                        {"--displaced", "displaced"},
                                                        {"--push", "push"},
                                                        {"--nose", "nose"},
                                                        {"--nose-point", "nose_point"},
                                                        {"--back", "back"},
                                                        {"--mend", "mend"},
                                                        {"--table", "table"},
                                                        {"--map", ""},
                                                        {"--aligned", ""},
                                                        {"--thin", ""},
                                                        {"--smooth", ""}}};

  return options;
}

int points_wanted(std::string_view option) {
  // Options that take several points, and how many.
  constexpr int split_line_points = 3;
  constexpr int eyes_points = 2;
  constexpr int photo_points = 4;
  if (option == "--split-line") return split_line_points;
  if (option == "--photo") return photo_points;
  return option == "--eyes" ? eyes_points : 0;
}

}  // namespace trueblank::tools
