// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/load_body.h"

// How this room writes JSON; no part of its interface. It keeps the JSON library, which is heavy to
// compile, in one file.
namespace trueblank::report {

/// A JSON object, its keys in the order in which they are set. NaN and infinity have no JSON and
/// become null; −0 becomes 0; what is not UTF-8 in a text is replaced.
class JsonObject {
 public:
  JsonObject();
  JsonObject(JsonObject&& other) noexcept;
  JsonObject& operator=(JsonObject&& other) noexcept;
  ~JsonObject();

  // Each takes a key that is not there yet. "Maybe" something: null where there is nothing.
  void number(std::string_view key, const std::optional<double>& maybe);
  void numbers(std::string_view key, const std::vector<double>& values);
  void maybe_numbers(std::string_view key, const std::vector<std::optional<double>>& values);
  void number_lists(std::string_view key, const std::vector<std::vector<double>>& lists);
  void polylines(std::string_view key, const std::vector<std::vector<std::vector<double>>>& lines);
  void count(std::string_view key, long long value);
  void counts(std::string_view key, const std::vector<std::int64_t>& values);
  void maybe_count(std::string_view key, const std::optional<long long>& maybe);
  void flag(std::string_view key, bool value);
  void text(std::string_view key, const std::string& value);
  void maybe_text(std::string_view key, const std::optional<std::string>& maybe);
  void texts(std::string_view key, const std::vector<std::string>& values);
  void maybe_texts(std::string_view key, const std::vector<std::optional<std::string>>& values);
  void maybe_flags(std::string_view key, const std::vector<std::optional<bool>>& values);
  void vector(std::string_view key, const std::optional<geometry::Vec3>& maybe);
  void vectors(std::string_view key, const std::vector<geometry::Vec3>& all);
  void matrix(std::string_view key, const geometry::Mat3& rows);
  void object(std::string_view key, JsonObject value);
  void object(std::string_view key, std::optional<JsonObject> maybe);
  void list(std::string_view key, std::vector<JsonObject> values);

  /// Indented by two, ended by a line end.
  [[nodiscard]] std::string written() const;

 private:
  struct Value;
  std::unique_ptr<Value> value_;
};

/// What was read: file, format, counts, scale.
[[nodiscard]] JsonObject input_json(const body::InputFacts& input);

/// What every result begins with: schema, version, input, warnings.
[[nodiscard]] JsonObject opening(const std::string& verb, const body::InputFacts& input,
                                 const std::vector<std::string>& warnings);

/// What is told of a body's scale, skin and made-up skin.
/// water_g_cm3  of the water in which lift is told
void add_body(JsonObject& out, const body::InputFacts& input, const body::BodyRecord& record,
              double water_g_cm3);

/// And what was mended and reshaped, what displaces, and how well that is known; of an open body
/// nothing displaces.
void add_making(JsonObject& out, const body::BodyRecord& record);

[[nodiscard]] JsonObject frame_json(const geometry::Frame& frame, bool guessed);

}  // namespace trueblank::report
