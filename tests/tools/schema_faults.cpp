// SPDX-License-Identifier: GPL-3.0-or-later
// The only file that includes the validator, which costs the compiler several seconds.
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

#include "tool.h"

namespace trueblank::test_tool {

namespace {

Json schema_file(const std::string& name) {
  std::ifstream file(std::string(TRUEBLANK_SOURCE_DIR) + "/tests/schema/" + name);
  return Json::parse(file);
}

}  // namespace

std::string schema_faults(const std::string& verb, const Json& json) {
  const Json source = schema_file(verb + ".schema.json");
  valijson::Schema schema;
  valijson::SchemaParser parser(valijson::SchemaParser::kDraft7);
  // A schema may refer to another one beside it.
  const auto fetch = [](const std::string& name) { return new Json(schema_file(name)); };
  const auto give_back = [](const Json* fetched) { delete fetched; };
  parser.populateSchema(valijson::adapters::NlohmannJsonAdapter(source), schema, fetch, give_back);
  valijson::Validator validator;
  valijson::ValidationResults results;
  if (validator.validate(schema, valijson::adapters::NlohmannJsonAdapter(json), &results)) {
    return "";
  }
  std::string faults;
  valijson::ValidationResults::Error fault;
  while (results.popError(fault)) {
    for (const std::string& part : fault.context) faults += part;
    faults += ": " + fault.description + '\n';
  }
  return faults.empty() ? "not valid" : faults;
}

}  // namespace trueblank::test_tool
