// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "geometry/error.h"

// The wording of everything that the notebook refuses: what is wrong, where, how to mend it.
namespace trueblank::notebook {

using geometry::InputError;

// The file
[[nodiscard]] InputError book_missing(const std::string& path);
[[nodiscard]] InputError book_is_no_file(const std::string& path);
[[nodiscard]] InputError not_a_notebook(const std::string& path);
[[nodiscard]] InputError book_newer(const std::string& path, std::int64_t version,
                                    std::int64_t known);
[[nodiscard]] InputError book_not_writable(const std::string& path);
[[nodiscard]] InputError book_not_opened(const std::string& path, const std::string& why);
[[nodiscard]] InputError folder_not_made(const std::string& path, const std::string& why);
[[nodiscard]] InputError disk_full(const std::string& path);
[[nodiscard]] InputError book_busy(const std::string& path);
[[nodiscard]] InputError book_io_failed(const std::string& path, const std::string& why);
[[nodiscard]] InputError book_damaged(const std::string& path);
[[nodiscard]] InputError book_unlike(const std::string& path, const std::string& why);
[[nodiscard]] InputError too_big_to_keep(const std::string& what, std::int64_t most_bytes);
[[nodiscard]] InputError no_home();

// What is to be kept, or looked for
[[nodiscard]] InputError no_such_build(const std::string& path, std::int64_t id);
[[nodiscard]] InputError build_forgotten(const std::string& path, std::int64_t id,
                                         const std::string& when);
/// what  "the title", "the notes", "the name of a file", …
[[nodiscard]] InputError not_utf8(const std::string& what);
[[nodiscard]] InputError no_date(const std::string& text);
[[nodiscard]] InputError not_finite(const std::string& what);
[[nodiscard]] InputError text_too_long(const std::string& what, std::size_t longest_bytes);
[[nodiscard]] InputError too_many_files(std::size_t most);
[[nodiscard]] InputError file_named_twice(const std::string& name);

// A photograph
[[nodiscard]] InputError points_alike(std::string_view one, std::string_view other);
[[nodiscard]] InputError waterline_steep(double deg);

// Export and import
[[nodiscard]] InputError folder_in_use(const std::string& folder);
[[nodiscard]] InputError export_failed(const std::string& folder, const std::string& why);
[[nodiscard]] InputError no_export(const std::string& folder);
[[nodiscard]] InputError export_newer(const std::string& where, std::int64_t version,
                                      std::int64_t known);
[[nodiscard]] InputError export_key_unknown(const std::string& where, const std::string& key);
[[nodiscard]] InputError export_key_missing(const std::string& where, std::string_view key);
[[nodiscard]] InputError export_value_wrong(const std::string& where, std::string_view key,
                                            std::string_view wanted);
[[nodiscard]] InputError export_path_outside(const std::string& where, const std::string& path);
[[nodiscard]] InputError export_number_twice(const std::string& where, std::int64_t id);

// A copy
[[nodiscard]] InputError length_unknown();
[[nodiscard]] InputError length_not_positive();

// Warnings of a copy, whole sentences
/// factor  new length over old
[[nodiscard]] std::string design_scaled(double factor);
[[nodiscard]] std::string density_for_weight(double density_g_cm3);
[[nodiscard]] std::string species_for_weight();
[[nodiscard]] std::string weight_of_old_blank();
[[nodiscard]] std::string weighed_parts_stay();
[[nodiscard]] std::string target_stays();
[[nodiscard]] std::string dunk_test_left_out();
[[nodiscard]] std::string take_out_by_hand(const std::string& key);

}  // namespace trueblank::notebook
