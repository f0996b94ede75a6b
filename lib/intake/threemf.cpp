// SPDX-License-Identifier: GPL-3.0-or-later
// 3MF core specification 1.3 (ISO/IEC 25422:2025): a zip archive with a model in XML. All items
// of the build are taken, their components in place; materials, colours and slices are left aside.
#include <Eigen/Geometry>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "intake/decimal.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/xml_tags.h"
#include "intake/zip_archive.h"

namespace trueblank::intake {
namespace {

using Transform = Eigen::Matrix<double, 3, 4>;

constexpr int deepest = 32;  // components within components
constexpr std::size_t most_parts = 100'000;

struct Component {
  std::string model;
  std::string object;
  Transform here = Transform::Identity();
};

struct Object {
  Triples<double> positions;
  Triples<int> facets;
  std::vector<Component> components;
};

struct Model {
  double mm_per_unit = 1;
  std::map<std::string, Object, std::less<>> objects;
  std::vector<Component> items;
};

std::optional<double> mm_of(std::string_view unit) {
  constexpr std::array<std::pair<std::string_view, double>, 6> units = {{{"micron", 0.001},
                                                                         {"millimeter", 1},
                                                                         {"centimeter", 10},
                                                                         {"inch", 25.4},
                                                                         {"foot", 304.8},
                                                                         {"meter", 1000}}};
  for (const auto& [name, mm] : units) {
    if (name == unit) return mm;
  }
  return {};
}

/// Takes a model's text part by part.
class ModelReader {
 public:
  ModelReader(std::string path, const std::string& name) : path_(std::move(path)), name_(name) {}

  void take(std::string_view part) {
    text_ += part;
    // What a part ended within is looked at again once there is as much more of it.
    if (text_.size() >= wanted_) take_tags();
  }

  Model finish() {
    if (take_tags()) broken("its model ends within a tag");
    return std::move(model_);
  }

 private:
  [[noreturn]] void broken(const std::string& what) const { throw broken_file(name_, what); }

  /// All tags that are whole; whether the text ends within one, which then is what is left of it.
  bool take_tags() {
    XmlTags tags(text_);
    while (const std::optional<XmlTags::Tag> tag = tags.next()) {
      if (tag->kind != XmlTags::Kind::close) {
        take(*tag);
      } else if (tag->name == "object") {
        object_ = nullptr;
      }
    }
    text_.erase(0, text_.size() - tags.rest().size());
    wanted_ = 2 * text_.size();
    return tags.broken();
  }

  void take(const XmlTags::Tag& tag) {
    if (tag.name == "vertex" && object_ != nullptr) {
      const double x = number(tag, "x", "vertex");
      const double y = number(tag, "y", "vertex");
      object_->positions.add(x, y, number(tag, "z", "vertex"));
    } else if (tag.name == "triangle" && object_ != nullptr) {
      const int first = index(tag, "v1");
      const int second = index(tag, "v2");
      object_->facets.add(first, second, index(tag, "v3"));
    } else if (tag.name == "object") {
      object_ = &model_.objects[text(tag, "id")];
    } else if (tag.name == "component" && object_ != nullptr) {
      object_->components.push_back(component(tag));
    } else if (tag.name == "item") {
      model_.items.push_back(component(tag));
    } else if (tag.name == "model") {
      const std::optional<std::string_view> unit = tag.attribute("unit");
      const std::optional<double> mm = mm_of(unit.value_or("millimeter"));
      if (!mm) broken("its unit is none that 3MF has");
      model_.mm_per_unit = *mm;
    }
  }

  [[nodiscard]] std::string text(const XmlTags::Tag& tag, const char* key) const {
    const std::optional<std::string_view> value = tag.attribute(key);
    if (!value) broken("a <" + std::string(tag.name) + "> has no " + key);
    return std::string(*value);
  }

  [[nodiscard]] double number(const XmlTags::Tag& tag, const char* key,
                              std::string_view of_what) const {
    const std::optional<std::string_view> value = tag.attribute(key);
    if (!value) throw number_missing(shown_name(name_), of_what);
    return number_in(*value, of_what);
  }

  [[nodiscard]] double number_in(std::string_view value, std::string_view of_what) const {
    while (!value.empty() && (value.front() == ' ' || value.front() == '+')) value.remove_prefix(1);
    while (!value.empty() && value.back() == ' ') value.remove_suffix(1);
    double out = 0;
    if (read_decimal(value.data(), value.data() + value.size(), out) ==
        value.data() + value.size()) {
      return out;
    }
    const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), out);
    if (error != std::errc() || end != value.data() + value.size()) {
      throw not_a_number(shown_name(name_), value);
    }
    if (!std::isfinite(out)) throw not_finite(shown_name(name_), of_what);
    return out;
  }

  [[nodiscard]] int index(const XmlTags::Tag& tag, const char* key) const {
    const std::optional<std::string_view> value = tag.attribute(key);
    if (!value) throw number_missing(shown_name(name_), "triangle");
    int out = 0;
    const auto [end, error] = std::from_chars(value->data(), value->data() + value->size(), out);
    if (error != std::errc() || end != value->data() + value->size() || out < 0) {
      throw bad_index(shown_name(name_), *value);
    }
    return out;
  }

  [[nodiscard]] Component component(const XmlTags::Tag& tag) const {
    Component out;
    out.object = text(tag, "objectid");
    out.model = path_;
    if (const std::optional<std::string_view> path = tag.attribute("path")) {
      out.model = std::string(path->substr(path->starts_with('/') ? 1 : 0));
    }
    const std::optional<std::string_view> transform = tag.attribute("transform");
    if (!transform) return out;
    // A row vector times four rows of three.
    std::string_view rest = *transform;
    for (int i = 0; i < 12; ++i) {
      const std::size_t start = rest.find_first_not_of(' ');
      if (start == std::string_view::npos) broken("a transform is not 12 numbers");
      rest.remove_prefix(start);
      const std::string_view word = rest.substr(0, std::min(rest.find(' '), rest.size()));
      out.here(i % 3, i / 3) = number_in(word, "transform");
      rest.remove_prefix(word.size());
    }
    return out;
  }

  std::string text_;  ///< that has come and was not taken yet
  std::size_t wanted_ = 0;
  std::string path_;
  const std::string& name_;
  Model model_;
  Object* object_ = nullptr;
};

class Threemf {
 public:
  Threemf(std::string_view bytes, const std::string& name)
      : archive_(bytes, name), name_(name), bytes_(bytes.size()) {}

  FileMesh read() {
    const std::string root = root_path();
    Model& model = model_at(root);
    once_ = model.items.size() == 1;
    if (model.items.empty()) {
      // Not as it should be, but the body may be there all the same.
      for (const auto& [id, object] : model.objects) {
        add({.model = root, .object = id}, Transform::Identity(), 0);
      }
    }
    for (const Component& item : model.items) add(item, Transform::Identity(), 0);
    const double mm_per_unit = model.mm_per_unit;
    models_.clear();
    FileMesh mesh = finished(std::move(mesh_), Format::threemf, name_);
    mesh.mm_per_unit = mm_per_unit;
    return mesh;
  }

 private:
  /// The model that the archive's relations name, or the first that there is.
  [[nodiscard]] std::string root_path() const {
    if (archive_.has("_rels/.rels")) {
      const std::string relations = archive_.read("_rels/.rels");
      XmlTags tags(relations);
      while (const std::optional<XmlTags::Tag> tag = tags.next()) {
        const std::string_view type = tag->attribute("Type").value_or("");
        std::string_view target = tag->attribute("Target").value_or("");
        if (!type.ends_with("/3dmodel")) continue;
        if (target.starts_with('/')) target.remove_prefix(1);
        if (archive_.has(target)) return std::string(target);
      }
    }
    for (const std::string_view path : archive_.names()) {
      if (path.ends_with(".model")) return std::string(path);
    }
    throw broken_file(name_, "the archive holds no model");
  }

  Model& model_at(const std::string& path) {
    const auto [place, is_new] = models_.try_emplace(path);
    if (is_new) {
      ModelReader reader(path, name_);
      archive_.read_by_parts(path, [&reader](std::string_view part) { reader.take(part); });
      bytes_ += static_cast<std::size_t>(archive_.size_of(path));
      place->second = reader.finish();
    }
    return place->second;
  }

  void add(const Component& part, const Transform& above, int depth) {
    if (depth > deepest || ++parts_ > most_parts) throw repeated_too_often(name_);
    Model& model = model_at(part.model);
    const auto found = model.objects.find(part.object);
    if (found == model.objects.end()) {
      throw broken_file(name_, "it names an object that it does not have");
    }
    Transform here;
    here.leftCols<3>() = above.leftCols<3>() * part.here.leftCols<3>();
    here.col(3) = above.leftCols<3>() * part.here.col(3) + above.col(3);
    once_ = once_ && depth == 0 && found->second.components.empty();
    add_mesh(found->second, here);
    for (const Component& component : found->second.components) add(component, here, depth + 1);
  }

  void add_mesh(Object& object, const Transform& here) {
    if (mesh_.facets.size() + object.facets.size() > most_repeated_per_byte * bytes_ ||
        mesh_.positions.size() + object.positions.size() > most_repeated_per_byte * bytes_) {
      throw repeated_too_often(name_);
    }
    if (mesh_.positions.size() + object.positions.size() > most_vertices) {
      throw too_many(name_, "vertices");
    }
    const std::size_t first = mesh_.positions.size();
    const std::size_t first_facet = mesh_.facets.size();
    const std::size_t vertices = object.positions.size();
    // The usual file is one object, met once: its arrays become the mesh's.
    if (once_) {
      mesh_.positions = std::move(object.positions);
      mesh_.facets = std::move(object.facets);
    } else {
      append(mesh_.positions, object.positions);
      append(mesh_.facets, object.facets);
    }
    move_vertices(first, here);
    renumber(first_facet, first, vertices, here.leftCols<3>().determinant() < 0);
  }

  template <class Scalar>
  static void append(Triples<Scalar>& to, const Triples<Scalar>& from) {
    std::copy_n(from.data(), 3 * from.size(), to.add(from.size()));
  }

  /// From one on to the last.
  void move_vertices(std::size_t first, const Transform& here) {
    for (std::size_t v = first; v < mesh_.positions.size(); ++v) {
      Eigen::Map<Eigen::Vector3d> at(mesh_.positions.column(v));
      const Eigen::Vector3d moved = here.leftCols<3>() * at + here.col(3);
      if (!moved.allFinite()) throw not_finite(shown_name(name_), "vertex");
      at = moved;
    }
  }

  /// The corners of an object's facets, which count its own `vertices` from 0, become the mesh's,
  /// where the first of them is `first`.
  void renumber(std::size_t facet, std::size_t first, std::size_t vertices, bool mirrored) {
    for (; facet < mesh_.facets.size(); ++facet) {
      int* const corners = mesh_.facets.column(facet);
      for (int k = 0; k < 3; ++k) {
        if (static_cast<std::size_t>(corners[k]) >= vertices) {
          throw index_out_of_range(shown_name(name_), corners[k], 0,
                                   static_cast<std::int64_t>(vertices) - 1);
        }
        corners[k] += static_cast<int>(first);
      }
      if (mirrored) std::swap(corners[1], corners[2]);
    }
  }

  ZipArchive archive_;
  const std::string& name_;
  std::size_t bytes_;
  ParsedMesh mesh_;
  std::map<std::string, Model> models_;
  std::size_t parts_ = 0;
  bool once_ = false;  ///< a single item, of a single object
};

}  // namespace

FileMesh read_threemf(std::string_view bytes, const std::string& name) {
  return Threemf(bytes, name).read();
}

}  // namespace trueblank::intake
