// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "geometry/error.h"

// The wording of all that the command line refuses. `verb` is "check", `option` is "--length".
namespace trueblank::tools {

using geometry::InputError;

[[nodiscard]] InputError no_verb();
[[nodiscard]] InputError unknown_verb(const std::string& word);
// Of a notebook
[[nodiscard]] InputError no_action();
[[nodiscard]] InputError unknown_action(const std::string& word);
[[nodiscard]] InputError nothing_to_keep();
/// build  "build 12, "Needle 165""
[[nodiscard]] InputError forget_asks(const std::string& build);
[[nodiscard]] InputError copy_needs_a_place();
[[nodiscard]] InputError other_file_there(const std::string& path);
[[nodiscard]] InputError mesh_not_named();
[[nodiscard]] InputError no_page_of(const std::string& action);
[[nodiscard]] InputError no_temporary_folder(const std::string& why);
/// For --nose and the like, which the sheet has inside as [body] nose.
[[nodiscard]] InputError sheet_has_it_inside(const std::string& verb, const std::string& option,
                                             const std::string& key);
[[nodiscard]] InputError body_option_for_sheet(const std::string& verb, const std::string& option);
/// `likely` is the nearest option there is, or empty.
[[nodiscard]] InputError unknown_option(const std::string& verb, const std::string& option,
                                        const std::string& likely);
[[nodiscard]] InputError input_missing(const std::string& verb, const std::string& placeholder);
[[nodiscard]] InputError one_input_too_many(const std::string& verb, const std::string& word);
[[nodiscard]] InputError value_missing(const std::string& verb, const std::string& option,
                                       int values);
[[nodiscard]] InputError given_twice(const std::string& verb, const std::string& option);
[[nodiscard]] InputError takes_no_value(const std::string& verb, const std::string& option);
[[nodiscard]] InputError not_both(const std::string& verb, const std::string& one,
                                  const std::string& other, const std::string& why);
[[nodiscard]] InputError seed_without_draws(const std::string& verb);
[[nodiscard]] InputError csv_without_sweep();
[[nodiscard]] InputError bad_sweep(const std::string& option, const std::string& text,
                                   const std::string& why);
[[nodiscard]] InputError too_many_sweeps();
[[nodiscard]] InputError swept_twice(const std::string& key);
[[nodiscard]] InputError sweep_too_fine(long long builds, long long most);
/// `likely` is the nearest name, or empty.
[[nodiscard]] InputError no_such_part(const std::string& key, const std::string& part,
                                      const std::string& likely, const std::string& all);
[[nodiscard]] InputError no_such_quantity(const std::string& key, const std::string& part);
[[nodiscard]] InputError swept_outside(const std::string& key);
[[nodiscard]] InputError push_without_mass();
[[nodiscard]] InputError needs_print(const std::string& option);
/// option  what is printed on that paper: "--templates"
[[nodiscard]] InputError paper_without(const std::string& verb, const std::string& option);
[[nodiscard]] InputError one_standard_input(const std::string& verb);
[[nodiscard]] InputError aligned_with_many();
/// "--length: "abc" is not a length; write ..."
[[nodiscard]] InputError bad_value(const std::string& option, const std::string& value,
                                   const std::string& is_not, const std::string& write);
/// endings  ".svg or .pdf"
[[nodiscard]] InputError wrong_ending(const std::string& option, const std::string& path,
                                      const std::string& endings);
[[nodiscard]] InputError no_pages();
[[nodiscard]] InputError would_overwrite(const std::string& output, const std::string& input);
[[nodiscard]] InputError other_usage(const std::string& verb, const std::string& problem);

[[nodiscard]] InputError body_is_open(const std::string& path);
[[nodiscard]] InputError no_pose_to_explain(const std::string& sheet);
/// `option` goes with a plan, and --seen finds none.
[[nodiscard]] InputError not_with_seen(const std::string& option);
[[nodiscard]] InputError too_many_stations(int most);

/// What goes to stderr: one line, whatever is in it.
[[nodiscard]] std::string error_line(const InputError& error);
[[nodiscard]] std::string out_of_memory_line();
[[nodiscard]] std::string our_fault_line(const std::string& what);

/// A warning: nothing is told for --print.
[[nodiscard]] std::string open_is_not_printed();

/// A warning: combinations that were not tried.
[[nodiscard]] std::string choices_left_out(std::size_t count);

}  // namespace trueblank::tools
