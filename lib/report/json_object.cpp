// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/json_object.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

#include "report/version.h"

namespace trueblank::report {

namespace {

using Json = nlohmann::ordered_json;

// Adding zero turns -0 into 0.
Json number_json(double value) { return std::isfinite(value) ? Json(value + 0.0) : Json(nullptr); }

Json vector_json(const geometry::Vec3& v) {
  Json out = Json::array();
  for (int i = 0; i < 3; ++i) out.push_back(number_json(v(i)));
  return out;
}

Json numbers_json(const std::vector<double>& values) {
  Json out = Json::array();
  for (const double value : values) out.push_back(number_json(value));
  return out;
}

Json lists_json(const std::vector<std::vector<double>>& lists) {
  Json out = Json::array();
  for (const std::vector<double>& list : lists) out.push_back(numbers_json(list));
  return out;
}

template <class Value>
Json maybes_json(const std::vector<std::optional<Value>>& values) {
  Json out = Json::array();
  for (const std::optional<Value>& value : values) {
    out.push_back(value ? Json(*value) : Json(nullptr));
  }
  return out;
}

}  // namespace

struct JsonObject::Value {
  Json json = Json::object();

  Json& at(std::string_view key) { return json[std::string(key)]; }
};

JsonObject::JsonObject() : value_(std::make_unique<Value>()) {}

JsonObject::JsonObject(JsonObject&& other) noexcept = default;
JsonObject& JsonObject::operator=(JsonObject&& other) noexcept = default;
JsonObject::~JsonObject() = default;

void JsonObject::number(std::string_view key, const std::optional<double>& maybe) {
  value_->at(key) = maybe ? number_json(*maybe) : Json(nullptr);
}

void JsonObject::numbers(std::string_view key, const std::vector<double>& values) {
  value_->at(key) = numbers_json(values);
}

void JsonObject::maybe_numbers(std::string_view key,
                               const std::vector<std::optional<double>>& values) {
  Json out = Json::array();
  for (const std::optional<double>& value : values) {
    out.push_back(value ? number_json(*value) : Json(nullptr));
  }
  value_->at(key) = std::move(out);
}

void JsonObject::number_lists(std::string_view key, const std::vector<std::vector<double>>& lists) {
  value_->at(key) = lists_json(lists);
}

void JsonObject::polylines(std::string_view key,
                           const std::vector<std::vector<std::vector<double>>>& lines) {
  Json out = Json::array();
  for (const std::vector<std::vector<double>>& line : lines) out.push_back(lists_json(line));
  value_->at(key) = std::move(out);
}

void JsonObject::count(std::string_view key, long long value) { value_->at(key) = value; }

void JsonObject::counts(std::string_view key, const std::vector<std::int64_t>& values) {
  value_->at(key) = values;
}

void JsonObject::maybe_count(std::string_view key, const std::optional<long long>& maybe) {
  value_->at(key) = maybe ? Json(*maybe) : Json(nullptr);
}

void JsonObject::flag(std::string_view key, bool value) { value_->at(key) = value; }

void JsonObject::text(std::string_view key, const std::string& value) { value_->at(key) = value; }

void JsonObject::maybe_text(std::string_view key, const std::optional<std::string>& maybe) {
  value_->at(key) = maybe ? Json(*maybe) : Json(nullptr);
}

void JsonObject::texts(std::string_view key, const std::vector<std::string>& values) {
  value_->at(key) = values;
}

void JsonObject::maybe_texts(std::string_view key,
                             const std::vector<std::optional<std::string>>& values) {
  value_->at(key) = maybes_json(values);
}

void JsonObject::maybe_flags(std::string_view key, const std::vector<std::optional<bool>>& values) {
  value_->at(key) = maybes_json(values);
}

void JsonObject::vector(std::string_view key, const std::optional<geometry::Vec3>& maybe) {
  value_->at(key) = maybe ? vector_json(*maybe) : Json(nullptr);
}

void JsonObject::vectors(std::string_view key, const std::vector<geometry::Vec3>& all) {
  Json out = Json::array();
  for (const geometry::Vec3& one : all) out.push_back(vector_json(one));
  value_->at(key) = std::move(out);
}

void JsonObject::matrix(std::string_view key, const geometry::Mat3& rows) {
  Json out = Json::array();
  for (int i = 0; i < 3; ++i) out.push_back(vector_json(rows.row(i).transpose()));
  value_->at(key) = std::move(out);
}

void JsonObject::object(std::string_view key, JsonObject value) {
  value_->at(key) = std::move(value.value_->json);
}

void JsonObject::object(std::string_view key, std::optional<JsonObject> maybe) {
  value_->at(key) = maybe ? std::move(maybe->value_->json) : Json(nullptr);
}

void JsonObject::list(std::string_view key, std::vector<JsonObject> values) {
  Json out = Json::array();
  for (JsonObject& one : values) out.push_back(std::move(one.value_->json));
  value_->at(key) = std::move(out);
}

// Names of files need not be UTF-8; what is not is replaced, never thrown about.
std::string JsonObject::written() const {
  return value_->json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

JsonObject input_json(const body::InputFacts& input) {
  JsonObject facts;
  facts.text("file", input.file);
  facts.text("format", input.format);
  facts.count("facets", static_cast<long long>(input.facets));
  facts.count("vertices", static_cast<long long>(input.vertices));
  facts.number("scale_mm_per_unit", input.scale_mm_per_unit);
  facts.text("scale_from", std::string(body::scale_from_name(input.scale_from)));
  return facts;
}

JsonObject opening(const std::string& verb, const body::InputFacts& input,
                   const std::vector<std::string>& warnings) {
  JsonObject out;
  out.text("schema", "trueblank." + verb + "/1");
  out.text("version", std::string(version()));
  out.object("input", input_json(input));
  out.texts("warnings", warnings);
  return out;
}

JsonObject frame_json(const geometry::Frame& frame, bool guessed) {
  JsonObject out;
  out.vector("origin_mm", frame.origin_mm);
  out.vector("x", frame.x);
  out.vector("y", frame.y);
  out.vector("z", frame.z);
  out.flag("guessed", guessed);
  return out;
}

}  // namespace trueblank::report
