// SPDX-License-Identifier: GPL-3.0-or-later
// glTF 2.0 and GLB (Khronos glTF 2.0 Specification, ISO/IEC 12113:2022): the triangles of the
// default scene, each node's transform applied. Materials, textures, skins and animations are left
// aside. Nothing is allocated before it was held against the bytes that are there.
#include <Eigen/Geometry>
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <limits>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

#include "intake/base64.h"
#include "intake/files.h"
#include "intake/gltf_layout.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"

namespace trueblank::intake {
namespace {

using Json = nlohmann::json;
using Transform = Eigen::Matrix4d;

constexpr double mm_per_metre = 1000;
constexpr std::size_t most_nodes = 1'000'000;

/// A whole number ≥ 0 of an object; `otherwise` where there is none; nothing where it is no such.
std::optional<std::uint64_t> whole(const Json& object, const char* key,
                                   std::optional<std::uint64_t> otherwise = {}) {
  if (!object.is_object()) return {};
  const auto found = object.find(key);
  if (found == object.end()) return otherwise;
  if (found->is_number_unsigned()) return found->get<std::uint64_t>();
  return {};
}

/// What stands in a list of the file's, or nothing.
const Json* item(const Json& root, const char* list, std::optional<std::uint64_t> index) {
  if (!index || !root.is_object()) return nullptr;
  const auto found = root.find(list);
  if (found == root.end() || !found->is_array() || *index >= found->size()) return nullptr;
  const Json& entry = (*found)[static_cast<std::size_t>(*index)];
  return entry.is_object() ? &entry : nullptr;
}

const Json* member(const Json& object, const char* key) {
  if (!object.is_object()) return nullptr;
  const auto found = object.find(key);
  return found == object.end() ? nullptr : &*found;
}

template <std::size_t N>
std::optional<std::array<double, N>> numbers(const Json& object, const char* key) {
  const Json* list = member(object, key);
  if (list == nullptr || !list->is_array() || list->size() != N) return {};
  std::array<double, N> out{};
  for (std::size_t i = 0; i < N; ++i) {
    if (!(*list)[i].is_number()) return {};
    out[i] = (*list)[i].get<double>();
    if (!std::isfinite(out[i])) return {};
  }
  return out;
}

/// How an accessor's numbers stand in their bytes.
struct Layout {
  std::shared_ptr<const std::string> decoded;  ///< what `bytes` are of, where they were base64
  std::string_view bytes;
  std::size_t count = 0;
  std::size_t stride = 0;
  int component = 0;
  bool normalized = false;
};

std::size_t bytes_of_component(std::uint64_t component) {
  switch (component) {
    case gltf::signed_byte:
    case gltf::unsigned_byte:
      return 1;
    case gltf::signed_short:
    case gltf::unsigned_short:
      return 2;
    case gltf::unsigned_int:
    case gltf::single_float:
      return 4;
    default:
      return 0;
  }
}

std::size_t components_of(const std::string& type) {
  if (type == "SCALAR") return 1;
  if (type == "VEC3") return 3;
  if (type == "VEC4") return 4;
  return 0;
}

template <class T>
T at(const char* bytes) {
  T value;
  std::memcpy(&value, bytes, sizeof value);
  return value;
}

double component_value(const Layout& layout, const char* bytes) {
  const auto shared = [&](double value, double most) {
    return layout.normalized ? std::max(value / most, -1.0) : value;
  };
  switch (layout.component) {
    case gltf::signed_byte:
      return shared(at<std::int8_t>(bytes), 127);
    case gltf::unsigned_byte:
      return shared(at<std::uint8_t>(bytes), 255);
    case gltf::signed_short:
      return shared(at<std::int16_t>(bytes), 32767);
    case gltf::unsigned_short:
      return shared(at<std::uint16_t>(bytes), 65535);
    case gltf::unsigned_int:
      return at<std::uint32_t>(bytes);
    default:
      return static_cast<double>(at<float>(bytes));
  }
}

constexpr std::string_view base64_mark = ";base64,";
constexpr std::string_view held_mark = ";held,";

/// The description with each long run of base64 taken out and its place in `held` written instead,
/// so that taking the text apart copies none. None is taken out where the text has such a mark of
/// its own.
std::string without_base64(std::string_view json, std::vector<std::string_view>& held) {
  constexpr std::size_t short_run = 1 << 12;
  if (json.find(held_mark) != std::string_view::npos) return std::string(json);
  std::string out;
  std::size_t from = 0;
  for (std::size_t at_mark = json.find(base64_mark); at_mark != std::string_view::npos;
       at_mark = json.find(base64_mark, from)) {
    const std::size_t first = at_mark + base64_mark.size();
    const std::size_t end = std::min(json.find('"', first), json.size());
    std::string_view run = json.substr(first, end - first);
    const bool plain =
        run.find('\\') == std::string_view::npos && run.find(' ') == std::string_view::npos;
    out += json.substr(from, (plain && run.size() > short_run ? at_mark : end) - from);
    if (plain && run.size() > short_run) {
      out += held_mark;
      out += std::to_string(held.size());
      while (run.ends_with('=')) run.remove_suffix(1);
      held.push_back(run);
    }
    from = end;
  }
  return out += json.substr(from);
}

/// Colours of vertices are linear; files and screens mostly are not (IEC 61966-2-1).
std::uint8_t screen_part(double linear) {
  const double share = std::isfinite(linear) ? std::clamp(linear, 0.0, 1.0) : 0.0;
  const double bent = share <= 0.0031308 ? 12.92 * share : 1.055 * std::pow(share, 1 / 2.4) - 0.055;
  return static_cast<std::uint8_t>(std::lround(255 * bent));
}

class Gltf {
 public:
  Gltf(std::string_view json, std::string_view binary, Format format, const std::string& name)
      : binary_(binary), format_(format), name_(name), bytes_(json.size() + binary.size()) {
    root_ = json.find(base64_mark) == std::string_view::npos
                ? Json::parse(json, nullptr, false)
                : Json::parse(without_base64(json, held_), nullptr, false);
    if (root_.is_discarded()) throw broken_file(name_, "its description is not JSON");
    if (!root_.is_object() || !root_.contains("asset")) throw unknown_format(name_);
  }

  FileMesh read() {
    refuse_what_is_needed_and_not_read();
    const std::vector<std::uint64_t> roots = root_nodes();
    for (const std::uint64_t node : roots) visit(node);
    if (no_surface_ > 0) mesh_.warnings.push_back(no_surfaces(no_surface_));
    if (!coloured_) mesh_.colours.clear();
    FileMesh mesh = finished(std::move(mesh_), format_, name_);
    mesh.mm_per_unit = mm_per_metre;
    return mesh;
  }

 private:
  [[noreturn]] void broken(const std::string& what) const { throw broken_file(name_, what); }

  void refuse_what_is_needed_and_not_read() const {
    const Json* required = member(root_, "extensionsRequired");
    if (required == nullptr || !required->is_array()) return;
    for (const Json& extension : *required) {
      if (!extension.is_string()) continue;
      const std::string& word = extension.get_ref<const std::string&>();
      if (word.find("draco") != std::string::npos || word.find("meshopt") != std::string::npos) {
        throw gltf_compressed(name_, word);
      }
    }
  }

  /// Of the default scene; where the file has no scenes, the nodes that are nobody's children.
  std::vector<std::uint64_t> root_nodes() {
    std::vector<std::uint64_t> out;
    if (const Json* scene = item(root_, "scenes", whole(root_, "scene", 0))) {
      add_children(*scene, "nodes", out);
      return out;
    }
    const Json* nodes = member(root_, "nodes");
    if (nodes == nullptr || !nodes->is_array()) return out;
    std::vector<std::uint8_t> is_child(nodes->size(), 0);
    for (const Json& node : *nodes) {
      std::vector<std::uint64_t> children;
      add_children(node, "children", children);
      for (const std::uint64_t child : children) is_child[static_cast<std::size_t>(child)] = 1;
    }
    for (std::size_t i = 0; i < is_child.size(); ++i) {
      if (is_child[i] == 0) out.push_back(i);
    }
    return out;
  }

  void add_children(const Json& of, const char* key, std::vector<std::uint64_t>& out) const {
    const Json* list = member(of, key);
    if (list == nullptr) return;
    const Json* nodes = member(root_, "nodes");
    const std::size_t count = nodes != nullptr && nodes->is_array() ? nodes->size() : 0;
    if (!list->is_array()) broken("its list of nodes is no list");
    for (const Json& one : *list) {
      if (!one.is_number_unsigned() || one.get<std::uint64_t>() >= count) {
        broken("it names a node that it does not have");
      }
      out.push_back(one.get<std::uint64_t>());
    }
  }

  /// A node and all below it. A node has one parent, so none is met twice.
  void visit(std::uint64_t first) {
    std::vector<std::pair<std::uint64_t, Transform>> open = {{first, Transform::Identity()}};
    while (!open.empty()) {
      const auto [number, above] = open.back();
      open.pop_back();
      const Json* node = item(root_, "nodes", number);
      if (node == nullptr) broken("node " + std::to_string(number) + " is no node");
      if (!seen_.emplace(number, true).second || seen_.size() > most_nodes) {
        broken("node " + std::to_string(number) + " is used twice, or goes round in a circle");
      }
      const Transform here = above * local(*node);
      if (const std::optional<std::uint64_t> mesh = whole(*node, "mesh")) add_mesh(*mesh, here);
      std::vector<std::uint64_t> children;
      add_children(*node, "children", children);
      for (const std::uint64_t child : children) open.emplace_back(child, here);
    }
  }

  [[nodiscard]] Transform local(const Json& node) const {
    if (member(node, "matrix") != nullptr) {
      const auto matrix = numbers<16>(node, "matrix");
      if (!matrix) broken("a node's matrix is not 16 numbers");
      return Eigen::Map<const Transform>(matrix->data());  // column by column, as Eigen has it
    }
    Eigen::Affine3d out = Eigen::Affine3d::Identity();
    if (const auto shift = numbers<3>(node, "translation")) {
      out.translate(Eigen::Vector3d((*shift)[0], (*shift)[1], (*shift)[2]));
    }
    if (const auto turn = numbers<4>(node, "rotation")) {
      const Eigen::Quaterniond q((*turn)[3], (*turn)[0], (*turn)[1], (*turn)[2]);
      if (!(q.norm() > 1e-6)) broken("a node's rotation is none");
      out.rotate(q.normalized());
    }
    if (const auto scale = numbers<3>(node, "scale")) {
      out.scale(Eigen::Vector3d((*scale)[0], (*scale)[1], (*scale)[2]));
    }
    return out.matrix();
  }

  void add_mesh(std::uint64_t number, const Transform& here) {
    const Json* mesh = item(root_, "meshes", number);
    if (mesh == nullptr) broken("it names a mesh that it does not have");
    const Json* primitives = member(*mesh, "primitives");
    if (primitives == nullptr || !primitives->is_array()) {
      broken("mesh " + std::to_string(number) + " has no parts");
    }
    for (const Json& primitive : *primitives) add_primitive(primitive, here);
  }

  void add_primitive(const Json& primitive, const Transform& here) {
    const std::optional<std::uint64_t> mode = whole(primitive, "mode", 4);
    if (!mode || *mode > 6) broken("a part of a mesh has no kind");
    if (*mode < 4) {  // points and lines
      ++no_surface_;
      return;
    }
    const Json* extensions = member(primitive, "extensions");
    if (extensions != nullptr && extensions->is_object()) {
      for (const auto& [word, unused] : extensions->items()) {
        if (word.find("draco") != std::string::npos) throw gltf_compressed(name_, word);
      }
    }
    const Json* attributes = member(primitive, "attributes");
    const std::optional<std::uint64_t> place =
        attributes == nullptr ? std::nullopt : whole(*attributes, "POSITION");
    if (!place) {
      ++no_surface_;
      return;
    }
    const std::size_t first = mesh_.positions.size();
    const std::size_t count = add_positions(layout(*place, 3), here);
    add_colours(attributes == nullptr ? std::nullopt : whole(*attributes, "COLOR_0"), count);
    const std::optional<std::uint64_t> indices = whole(primitive, "indices");
    const bool mirrored = here.topLeftCorner<3, 3>().determinant() < 0;
    if (member(primitive, "indices") != nullptr && !indices) broken("a part's indices are none");
    std::optional<Layout> corners;
    if (indices) corners = layout(*indices, 1);
    add_facets(corners, *mode, first, count, mirrored);
  }

  std::size_t add_positions(const Layout& from, const Transform& here) {
    if (mesh_.positions.size() + from.count > most_repeated_per_byte * bytes_) {
      throw repeated_too_often(name_);
    }
    if (mesh_.positions.size() + from.count > most_vertices) throw too_many(name_, "vertices");
    // Once for the usual file of one part; for each of many it would copy them over and over.
    if (mesh_.positions.empty()) mesh_.positions.reserve(from.count);
    for (std::size_t i = 0; i < from.count; ++i) {
      const Eigen::Vector4d p = here * corner(from, i);
      if (!p.head<3>().allFinite()) throw not_finite(shown_name(name_), "vertex");
      mesh_.positions.add(p.x(), p.y(), p.z());
    }
    return from.count;
  }

  [[nodiscard]] static Eigen::Vector4d corner(const Layout& from, std::size_t i) {
    const char* bytes = from.bytes.data() + i * from.stride;
    const std::size_t size = bytes_of_component(static_cast<std::uint64_t>(from.component));
    return {component_value(from, bytes), component_value(from, bytes + size),
            component_value(from, bytes + 2 * size), 1};
  }

  void add_colours(std::optional<std::uint64_t> accessor, std::size_t count) {
    if (!accessor) {
      mesh_.colours.resize(mesh_.colours.size() + 3 * count, 255);
      return;
    }
    const Layout from = layout(*accessor, 0);
    if (from.count < count) broken("a part has fewer colours than vertices");
    coloured_ = true;
    for (std::size_t i = 0; i < count; ++i) {
      const Eigen::Vector4d colour = corner(from, i);
      for (int k = 0; k < 3; ++k) mesh_.colours.push_back(screen_part(colour[k]));
    }
  }

  /// Triangles one by one, or a strip, or a fan (modes 4, 5, 6).
  void add_facets(const std::optional<Layout>& indices, std::uint64_t mode, std::size_t first,
                  std::size_t vertices, bool mirrored) {
    const std::size_t count = indices ? indices->count : vertices;
    const auto vertex = [&](std::size_t i) {
      const auto index = indices ? static_cast<std::uint64_t>(component_value(
                                       *indices, indices->bytes.data() + i * indices->stride))
                                 : std::uint64_t{i};
      if (index >= vertices) {
        throw index_out_of_range(shown_name(name_), static_cast<std::int64_t>(index), 0,
                                 static_cast<std::int64_t>(vertices) - 1);
      }
      return static_cast<int>(first + index);
    };
    const std::size_t facets = mode == 4 ? count / 3 : count < 3 ? 0 : count - 2;
    if (mesh_.facets.size() + facets > most_repeated_per_byte * bytes_) {
      throw repeated_too_often(name_);
    }
    for (std::size_t f = 0; f < facets; ++f) {
      std::array<int, 3> corners;
      if (mode == 4) {
        corners = {vertex(3 * f), vertex(3 * f + 1), vertex(3 * f + 2)};
      } else if (mode == 5) {
        corners = {vertex(f), vertex(f + 1 + f % 2), vertex(f + 2 - f % 2)};
      } else {
        corners = {vertex(f + 1), vertex(f + 2), vertex(0)};
      }
      if (mirrored) std::swap(corners[1], corners[2]);
      mesh_.add_polygon(corners.data(), 3);
    }
  }

  /// components  that it must have; 0: three or four
  [[nodiscard]] Layout layout(std::uint64_t number, std::size_t components) {
    const std::string which = "accessor " + std::to_string(number);
    const Json* accessor = item(root_, "accessors", number);
    if (accessor == nullptr) broken("it names an " + which + " that it does not have");
    if (member(*accessor, "sparse") != nullptr) throw gltf_compressed(name_, "sparse accessors");
    const Json* type = member(*accessor, "type");
    const std::size_t found =
        type != nullptr && type->is_string() ? components_of(type->get<std::string>()) : 0;
    const bool fits = components == 0 ? found >= 3 : found == components;
    const std::optional<std::uint64_t> component = whole(*accessor, "componentType");
    const std::size_t size = component ? bytes_of_component(*component) : 0;
    // Indices are whole and not below zero.
    const bool index = components == 1 && component && *component % 2 == 0;
    if (!fits || size == 0 || index) broken(which + " is not of the kind that is wanted there");
    const std::optional<std::uint64_t> count = whole(*accessor, "count");
    const std::optional<std::uint64_t> offset = whole(*accessor, "byteOffset", 0);
    const View view = view_of(whole(*accessor, "bufferView"), which);
    Layout out;
    out.component = static_cast<int>(*component);
    const Json* normalized = member(*accessor, "normalized");
    out.normalized = normalized != nullptr && normalized->is_boolean() && normalized->get<bool>();
    out.stride = view.stride > 0 ? view.stride : found * size;
    if (!count || !offset || *count == 0) broken(which + " has no count");
    const std::uint64_t last = found * size;
    if (*offset > view.length || last > view.length - *offset ||
        (*count - 1) > (view.length - *offset - last) / out.stride) {
      broken(which + " reaches beyond its buffer");
    }
    out.count = static_cast<std::size_t>(*count);
    const std::uint64_t from = view.offset + *offset;
    const std::uint64_t length = (*count - 1) * out.stride + last;
    if (view.buffer->base64.empty()) {
      out.bytes = view.buffer->bytes.substr(static_cast<std::size_t>(from),
                                            static_cast<std::size_t>(length));
      return out;
    }
    // Four letters are three bytes.
    const auto first = static_cast<std::size_t>(from / 3 * 4);
    const auto end = static_cast<std::size_t>((from + length + 2) / 3 * 4);
    std::optional<std::string> decoded =
        from_base64(view.buffer->base64.substr(first, end - first));
    if (!decoded || decoded->size() < from % 3 + length) {
      broken("a buffer's data are not base64");
    }
    out.decoded = std::make_shared<const std::string>(*std::move(decoded));
    out.bytes = std::string_view(*out.decoded).substr(from % 3, static_cast<std::size_t>(length));
    return out;
  }

  /// Its bytes as they are, or a long run of base64, of which only what is asked for is decoded.
  struct Buffer {
    std::string own;  ///< what `bytes` are of, where they are not the file's
    std::string_view bytes;
    std::string_view base64;

    [[nodiscard]] std::uint64_t size() const {
      return base64.empty() ? bytes.size() : std::uint64_t{base64.size()} * 3 / 4;
    }
  };

  struct View {
    const Buffer* buffer = nullptr;
    std::uint64_t offset = 0;
    std::uint64_t length = 0;
    std::size_t stride = 0;
  };

  [[nodiscard]] View view_of(std::optional<std::uint64_t> number, const std::string& which) {
    const Json* view = item(root_, "bufferViews", number);
    if (view == nullptr) broken(which + " has no bytes");
    if (const Json* extensions = member(*view, "extensions");
        extensions != nullptr && extensions->is_object()) {
      for (const auto& [word, unused] : extensions->items()) {
        if (word.find("meshopt") != std::string::npos) throw gltf_compressed(name_, word);
      }
    }
    const Buffer& from = buffer(whole(*view, "buffer"), which);
    const std::optional<std::uint64_t> offset = whole(*view, "byteOffset", 0);
    const std::optional<std::uint64_t> length = whole(*view, "byteLength");
    const std::optional<std::uint64_t> stride = whole(*view, "byteStride", 0);
    if (!offset || !length || !stride || *offset > from.size() || *length > from.size() - *offset ||
        *stride > 255) {
      broken("the bytes of " + which + " reach beyond their buffer");
    }
    return {.buffer = &from,
            .offset = *offset,
            .length = *length,
            .stride = static_cast<std::size_t>(*stride)};
  }

  [[nodiscard]] const Buffer& buffer(std::optional<std::uint64_t> number,
                                     const std::string& which) {
    const Json* buffer = item(root_, "buffers", number);
    if (buffer == nullptr) broken(which + " is in no buffer");
    const auto [place, is_new] = buffers_.try_emplace(*number);
    if (!is_new) return place->second;
    Buffer& fresh = place->second;
    const Json* uri = member(*buffer, "uri");
    if (uri == nullptr) {
      fresh.bytes = binary_;
      return fresh;
    }
    if (!uri->is_string()) broken("a buffer's address is no text");
    const auto& address = uri->get_ref<const std::string&>();
    if (const std::optional<std::size_t> held = held_number(address)) {
      fresh.base64 = held_[*held];
    } else {
      fresh.own = bytes_at(address);
      fresh.bytes = fresh.own;
    }
    bytes_ += static_cast<std::size_t>(fresh.size());
    return fresh;
  }

  /// Of the runs of base64 that were taken out, the one that stood in this address.
  [[nodiscard]] std::optional<std::size_t> held_number(std::string_view uri) const {
    const std::size_t mark = uri.find(held_mark);
    if (held_.empty() || !uri.starts_with("data:") || mark == std::string_view::npos) return {};
    const std::string_view digits = uri.substr(mark + held_mark.size());
    std::size_t number = 0;
    (void)std::from_chars(digits.data(), digits.data() + digits.size(), number);
    return number < held_.size() ? std::optional(number) : std::nullopt;
  }

  [[nodiscard]] std::string bytes_at(const std::string& uri) const {
    if (uri.starts_with("data:")) {
      const std::size_t comma = uri.find(',');
      const std::string_view head = std::string_view(uri).substr(0, comma);
      if (comma == std::string::npos || !head.ends_with(";base64")) {
        broken("a buffer's data are not base64");
      }
      std::optional<std::string> bytes = from_base64(std::string_view(uri).substr(comma + 1));
      if (!bytes) broken("a buffer's data are not base64");
      return *std::move(bytes);
    }
    return read_file(path_of(uri));
  }

  /// Only a plain way down from the file's own folder.
  [[nodiscard]] std::string path_of(const std::string& uri) const {
    std::string plain;
    for (std::size_t i = 0; i < uri.size(); ++i) {
      if (uri[i] != '%') {
        plain += uri[i];
        continue;
      }
      const std::string digits = uri.substr(i + 1, 2);
      if (digits.size() < 2 || digits.find_first_not_of("0123456789abcdefABCDEF") < 2) {
        throw gltf_buffer_elsewhere(name_, uri);
      }
      plain += static_cast<char>(std::stoi(digits, nullptr, 16));
      i += 2;
    }
    const std::filesystem::path path(plain);
    bool down = name_ != "-" && !plain.empty() && path.is_relative() &&
                plain.find_first_of(std::string_view(":\\\0", 3)) == std::string::npos;
    for (const std::filesystem::path& part : path) down = down && part != "..";
    if (!down) throw gltf_buffer_elsewhere(name_, uri);
    return (std::filesystem::path(name_).parent_path() / path).string();
  }

  Json root_;
  std::string_view binary_;
  Format format_;
  const std::string& name_;
  std::size_t bytes_;  ///< of all that the file has
  ParsedMesh mesh_;
  bool coloured_ = false;
  std::int64_t no_surface_ = 0;
  std::vector<std::string_view> held_;
  std::map<std::uint64_t, Buffer> buffers_;
  std::map<std::uint64_t, bool> seen_;
};

}  // namespace

FileMesh read_gltf(std::string_view bytes, const std::string& name) {
  return Gltf(bytes, {}, Format::gltf, name).read();
}

FileMesh read_glb(std::string_view bytes, const std::string& name) {
  if (bytes.size() < gltf::glb_header_bytes + gltf::chunk_header_bytes) {
    throw broken_file(name, "the file ends within its header");
  }
  if (const auto version = at<std::uint32_t>(bytes.data() + 4); version != gltf::glb_version) {
    throw broken_file(name, "this is version " + std::to_string(version) + " of GLB, not 2");
  }
  if (at<std::uint32_t>(bytes.data() + 8) > bytes.size()) {
    throw broken_file(name, "the file is cut short: it says " +
                                std::to_string(at<std::uint32_t>(bytes.data() + 8)) +
                                " bytes and has " + std::to_string(bytes.size()));
  }
  std::string_view json;
  std::string_view binary;
  for (std::size_t at_byte = gltf::glb_header_bytes;
       at_byte + gltf::chunk_header_bytes <= bytes.size();) {
    const std::size_t length = at<std::uint32_t>(bytes.data() + at_byte);
    const auto kind = at<std::uint32_t>(bytes.data() + at_byte + 4);
    at_byte += gltf::chunk_header_bytes;
    if (length > bytes.size() - at_byte) {
      throw broken_file(name, "the file ends within one of its chunks");
    }
    if (kind == gltf::json_chunk && json.empty()) json = bytes.substr(at_byte, length);
    if (kind == gltf::binary_chunk && binary.empty()) binary = bytes.substr(at_byte, length);
    at_byte += length;
  }
  return Gltf(json, binary, Format::glb, name).read();
}

}  // namespace trueblank::intake
