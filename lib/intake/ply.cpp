// SPDX-License-Identifier: GPL-3.0-or-later
// PLY (G. Turk, "The PLY polygon file format", Stanford 1994), as text or binary of either byte
// order. Elements and properties that are not asked for are stepped over.
#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <utility>

#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/text_scanner.h"

namespace trueblank::intake {
namespace {

enum class Scalar { int8, uint8, int16, uint16, int32, uint32, float32, float64 };

constexpr std::array<std::pair<std::string_view, Scalar>, 16> scalar_names = {{
    {"char", Scalar::int8},
    {"int8", Scalar::int8},
    {"uchar", Scalar::uint8},
    {"uint8", Scalar::uint8},
    {"short", Scalar::int16},
    {"int16", Scalar::int16},
    {"ushort", Scalar::uint16},
    {"uint16", Scalar::uint16},
    {"int", Scalar::int32},
    {"int32", Scalar::int32},
    {"uint", Scalar::uint32},
    {"uint32", Scalar::uint32},
    {"float", Scalar::float32},
    {"float32", Scalar::float32},
    {"double", Scalar::float64},
    {"float64", Scalar::float64},
}};

std::size_t size_of(Scalar type) {
  constexpr std::array<std::size_t, 8> sizes = {1, 1, 2, 2, 4, 4, 4, 8};
  return sizes[static_cast<std::size_t>(type)];
}

/// What a property is to us.
enum class Meaning { none, x, y, z, red, green, blue, corners };

struct Property {
  Scalar type = Scalar::float32;
  bool is_list = false;
  Scalar length_type = Scalar::uint8;
  Meaning meaning = Meaning::none;
};

struct Element {
  std::string name;
  std::uint64_t count = 0;
  std::vector<Property> properties;

  [[nodiscard]] bool has(Meaning meaning) const {
    for (const Property& p : properties) {
      if (p.meaning == meaning) return true;
    }
    return false;
  }
};

struct Header {
  enum class Coding { ascii, little, big } coding = Coding::ascii;
  std::vector<Element> elements;
  std::size_t bytes = 0;
};

Meaning meaning_of(std::string_view element, std::string_view property, bool is_list) {
  if (element == "face") {
    const bool corners = property == "vertex_indices" || property == "vertex_index";
    return is_list && corners ? Meaning::corners : Meaning::none;
  }
  if (element != "vertex" || is_list) return Meaning::none;
  constexpr std::array<std::pair<std::string_view, Meaning>, 9> names = {{
      {"x", Meaning::x},
      {"y", Meaning::y},
      {"z", Meaning::z},
      {"red", Meaning::red},
      {"green", Meaning::green},
      {"blue", Meaning::blue},
      {"diffuse_red", Meaning::red},
      {"diffuse_green", Meaning::green},
      {"diffuse_blue", Meaning::blue},
  }};
  for (const auto& [name, meaning] : names) {
    if (name == property) return meaning;
  }
  return Meaning::none;
}

/// Takes the header apart, line by line.
class HeaderText {
 public:
  HeaderText(std::string_view bytes, const std::string& name)
      : bytes_(bytes), scanner_(bytes, name) {}

  Header read() {
    scanner_.skip_line();  // ply
    bool has_format = false;
    for (;;) {
      if (scanner_.at_end()) throw trouble("\"end_header\" is missing");
      const std::string_view keyword = next();
      if (keyword == "end_header") break;
      if (keyword == "format") {
        read_format();
        has_format = true;
      } else if (keyword == "element") {
        read_element();
      } else if (keyword == "property") {
        read_property();
      } else if (keyword != "comment" && keyword != "obj_info" && !keyword.empty()) {
        throw trouble("an unknown line");
      }
      scanner_.skip_line();
    }
    if (!has_format) throw trouble("the \"format\" line is missing");
    end_of_line();
    header_.bytes = static_cast<std::size_t>(scanner_.position() - bytes_.data());
    return std::move(header_);
  }

 private:
  InputError trouble(const std::string& what) { return ply_header(scanner_.where(), what); }

  std::string_view next() {
    scanner_.skip_blanks();
    return scanner_.word();
  }

  /// Just past this line's end: data bytes that look like blanks must stay.
  void end_of_line() { scanner_.skip_line(); }

  void read_format() {
    const std::string_view coding = next();
    if (coding == "ascii") {
      header_.coding = Header::Coding::ascii;
    } else if (coding == "binary_little_endian") {
      header_.coding = Header::Coding::little;
    } else if (coding == "binary_big_endian") {
      header_.coding = Header::Coding::big;
    } else {
      throw trouble("an unknown format");
    }
  }

  void read_element() {
    Element element;
    element.name = next();
    const std::string_view count = next();
    const auto [rest, error] =
        std::from_chars(count.data(), count.data() + count.size(), element.count);
    if (error != std::errc() || rest != count.data() + count.size()) {
      throw trouble("an element without a count");
    }
    if (header_.elements.size() >= most_entries) throw trouble("too many elements");
    header_.elements.push_back(std::move(element));
  }

  Scalar scalar(std::string_view word) {
    for (const auto& [name, type] : scalar_names) {
      if (name == word) return type;
    }
    throw trouble("an unknown type");
  }

  void read_property() {
    if (header_.elements.empty()) throw trouble("a property before any element");
    Element& element = header_.elements.back();
    Property property;
    std::string_view word = next();
    property.is_list = word == "list";
    if (property.is_list) {
      property.length_type = scalar(next());
      word = next();
    }
    property.type = scalar(word);
    property.meaning = meaning_of(element.name, next(), property.is_list);
    if (property.meaning != Meaning::none && element.has(property.meaning)) {
      property.meaning = Meaning::none;  // the first one counts
    }
    if (element.properties.size() >= most_entries) throw trouble("too many properties");
    element.properties.push_back(property);
  }

  static constexpr std::size_t most_entries = 1000;
  std::string_view bytes_;
  TextScanner scanner_;
  Header header_;
};

/// Values one after the other from binary data. `swap`: the file's byte order is not ours.
template <bool swap>
class BinaryValues {
 public:
  explicit BinaryValues(const std::string& name) : name_(name) {}

  static constexpr bool text = false;

  /// To the values that stand in `bytes` behind the first `from`.
  void move_to(std::string_view bytes, std::size_t from) {
    at_ = bytes.data() + from;
    end_ = bytes.data() + bytes.size();
  }

  [[nodiscard]] bool at_end() const { return at_ == end_; }

  [[nodiscard]] std::size_t remaining() const { return static_cast<std::size_t>(end_ - at_); }

  [[nodiscard]] double next(Scalar type, const Element& element, std::uint64_t number) {
    const std::size_t size = size_of(type);
    if (remaining() < size) {
      throw ply_ends_within(name_, element.name, static_cast<std::int64_t>(number + 1));
    }
    const char* from = at_;
    at_ += size;
    switch (type) {
      case Scalar::int8:
        return value<std::int8_t>(from);
      case Scalar::uint8:
        return value<std::uint8_t>(from);
      case Scalar::int16:
        return value<std::int16_t>(from);
      case Scalar::uint16:
        return value<std::uint16_t>(from);
      case Scalar::int32:
        return value<std::int32_t>(from);
      case Scalar::uint32:
        return value<std::uint32_t>(from);
      case Scalar::float32:
        return static_cast<double>(value<float>(from));
      case Scalar::float64:
        return value<double>(from);
    }
    return 0;
  }

  void skip(Scalar type, const Element& element, std::uint64_t number) {
    if (remaining() < size_of(type)) {
      throw ply_ends_within(name_, element.name, static_cast<std::int64_t>(number + 1));
    }
    at_ += size_of(type);
  }

  [[nodiscard]] std::string place(const Element& element, std::uint64_t number) const {
    return shown_name(name_) + ", " + element.name + " " + std::to_string(number + 1);
  }

 private:
  template <class T>
  static T value(const char* from) {
    char bytes[sizeof(T)];
    for (std::size_t i = 0; i < sizeof(T); ++i) bytes[i] = from[swap ? sizeof(T) - 1 - i : i];
    T out;
    std::memcpy(&out, bytes, sizeof(T));
    return out;
  }

  const char* at_ = nullptr;
  const char* end_ = nullptr;
  const std::string& name_;
};

/// Values one after the other from text.
class TextValues {
 public:
  explicit TextValues(const std::string& name) : scanner_({}, name), name_(name) {}

  static constexpr bool text = true;

  void move_to(std::string_view bytes, std::size_t from) {
    scanner_.move_to(bytes);
    scanner_.step(from);
  }

  [[nodiscard]] bool at_end() {
    scanner_.skip_space();
    return scanner_.at_end();
  }

  [[nodiscard]] std::size_t remaining() const { return scanner_.remaining(); }

  [[nodiscard]] double next(Scalar, const Element& element, std::uint64_t number) {
    to_next(element, number);
    return scanner_.number(element.name);
  }

  /// Whatever is written there: a property that is not asked for may well be "nan".
  void skip(Scalar, const Element& element, std::uint64_t number) {
    to_next(element, number);
    (void)scanner_.word();
  }

  [[nodiscard]] std::string place(const Element&, std::uint64_t) const {
    return scanner_.where(last_ != nullptr ? last_ : scanner_.position());
  }

 private:
  /// An element stands in one line: a number that is missing must not be made up for by the next
  /// line's first.
  void to_next(const Element& element, std::uint64_t number) {
    if (&element == element_ && number == number_) {
      if (scanner_.at_line_end() && !at_last_end()) {
        throw number_missing(scanner_.where(), element.name);
      }
    } else {
      element_ = &element;
      number_ = number;
    }
    scanner_.skip_space();
    if (scanner_.at_end()) {
      throw ply_ends_within(name_, element.name, static_cast<std::int64_t>(number + 1));
    }
    last_ = scanner_.position();
  }

  /// Whether nothing but blanks and line ends follows.
  [[nodiscard]] bool at_last_end() const {
    TextScanner ahead = scanner_;
    ahead.skip_space();
    return ahead.at_end();
  }

  TextScanner scanner_;
  const char* last_ = nullptr;
  const Element* element_ = nullptr;
  std::uint64_t number_ = 0;
  const std::string& name_;
};

/// The fewest bytes that an element can take up.
std::uint64_t least_bytes(const Element& element, bool text) {
  std::uint64_t bytes = 0;
  for (const Property& p : element.properties) {
    bytes += text ? 2 : size_of(p.is_list ? p.length_type : p.type);
  }
  return bytes;
}

/// What follows the header, element by element.
template <class Values>
class Body final : public BlockReader {
 public:
  /// bytes  of the whole file
  Body(Header header, std::uint64_t bytes, const std::string& name)
      : header_(std::move(header)),
        bytes_(bytes - header_.bytes),
        values_(name),
        name_(name),
        skipped_(header_.bytes) {
    check_counts();
  }

  /// Of text alone, where an element stands in one line.
  [[nodiscard]] std::size_t whole_part(std::string_view block) const override {
    return whole_lines(block);
  }

  void take(std::string_view part) override {
    values_.move_to(part, std::exchange(skipped_, 0));
    for (; element_ < header_.elements.size(); ++element_, number_ = 0) {
      const Element& element = header_.elements[element_];
      if (number_ == 0) begin(element);
      if (element.properties.empty()) continue;
      for (; number_ < element.count; ++number_) {
        if (values_.at_end()) return;
        read(element);
      }
    }
  }

  [[nodiscard]] FileMesh finish() override {
    if (element_ < header_.elements.size()) {
      throw ply_ends_within(name_, header_.elements[element_].name,
                            static_cast<std::int64_t>(number_ + 1));
    }
    return finished(std::move(mesh_), Values::text ? Format::ply_ascii : Format::ply_binary, name_);
  }

 private:
  void begin(const Element& element) {
    if (element.name == "tristrips") throw ply_strips(name_);
    if (element.name == "vertex") {
      coloured_ =
          element.has(Meaning::red) && element.has(Meaning::green) && element.has(Meaning::blue);
      mesh_.positions.reserve(static_cast<std::size_t>(element.count));
      if (coloured_) mesh_.colours.reserve(3 * static_cast<std::size_t>(element.count));
    } else if (element.name == "face") {
      // Three corners and their number take up no less; a count that lies must not ask for more.
      const std::uint64_t likely = bytes_ / (Values::text ? 8 : 4);
      mesh_.facets.reserve(static_cast<std::size_t>(std::min(element.count, likely)));
    }
  }

  void read(const Element& element) {
    if (element.name == "vertex") {
      read_vertex(element);
    } else {
      for (const Property& p : element.properties) {
        if (p.meaning == Meaning::corners) {
          read_corners(p, element, number_);
        } else {
          skip_property(p, element, number_);
        }
      }
    }
  }

  void check_counts() {
    std::uint64_t left = bytes_;
    bool seen = false;
    for (const Element& element : header_.elements) {
      const std::uint64_t least = least_bytes(element, Values::text);
      // The last number of a text needs no blank after it.
      if (least > 0 && element.count > (left + (Values::text ? 1 : 0)) / least) {
        const std::uint64_t most = ~std::uint64_t{0} / least;
        throw ply_count_lies(name_, element.name, element.count,
                             element.count > most ? ~std::uint64_t{0} : element.count * least,
                             bytes_);
      }
      left -= std::min(left, least * element.count);
      if (element.name == "vertex") {
        if (seen) throw ply_header(shown_name(name_), "two elements named \"vertex\"");
        seen = true;
        vertices_ = element.count;
        if (element.count > most_vertices) throw too_many(name_, "vertices");
        check_vertex(element);
      } else if (element.name == "face" && element.count > most_facets) {
        throw too_many(name_, "facets");
      }
    }
    if (!seen) throw ply_header(shown_name(name_), "no element named \"vertex\"");
  }

  void check_vertex(const Element& element) {
    if (!element.has(Meaning::x) || !element.has(Meaning::y) || !element.has(Meaning::z)) {
      throw ply_header(shown_name(name_), "the vertices have no x, y and z");
    }
  }

  /// A list's length, its values still to come.
  std::uint64_t list_length(const Property& p, const Element& element, std::uint64_t number) {
    const double length = values_.next(p.length_type, element, number);
    const std::size_t each = Values::text ? 1 : size_of(p.type);
    if (!(length >= 0) || length != std::floor(length)) {
      throw ply_list_length(values_.place(element, number));
    }
    if (length > static_cast<double>(values_.remaining() / each)) {
      throw ply_ends_within(name_, element.name, static_cast<std::int64_t>(number + 1));
    }
    return static_cast<std::uint64_t>(length);
  }

  void skip_property(const Property& p, const Element& element, std::uint64_t number) {
    const std::uint64_t values = p.is_list ? list_length(p, element, number) : 1;
    for (std::uint64_t i = 0; i < values; ++i) values_.skip(p.type, element, number);
  }

  void read_vertex(const Element& element) {
    double* const place = mesh_.positions.add();
    std::uint8_t colours[3] = {};
    for (const Property& p : element.properties) {
      if (p.meaning == Meaning::none) {
        skip_property(p, element, number_);
        continue;
      }
      const double value = values_.next(p.type, element, number_);
      if (p.meaning <= Meaning::z) {
        if (!std::isfinite(value)) throw not_finite(values_.place(element, number_), element.name);
        place[static_cast<int>(p.meaning) - static_cast<int>(Meaning::x)] = value;
      } else {
        colours[static_cast<int>(p.meaning) - static_cast<int>(Meaning::red)] =
            colour(value, p.type);
      }
    }
    if (coloured_) mesh_.colours.insert(mesh_.colours.end(), colours, colours + 3);
  }

  static std::uint8_t colour(double value, Scalar type) {
    if (type == Scalar::float32 || type == Scalar::float64) value *= 255;
    if (type == Scalar::uint16) value /= 257;
    if (!(value > 0)) return 0;
    return static_cast<std::uint8_t>(std::lround(std::min(value, 255.0)));
  }

  void read_corners(const Property& p, const Element& element, std::uint64_t number) {
    const std::uint64_t count = list_length(p, element, number);
    corners_.clear();
    for (std::uint64_t k = 0; k < count; ++k) {
      const double index = values_.next(p.type, element, number);
      if (!(index >= 0 && index < static_cast<double>(vertices_))) {
        const double shown = std::isfinite(index) ? std::clamp(index, -1e18, 1e18) : -1;
        throw index_out_of_range(values_.place(element, number), static_cast<std::int64_t>(shown),
                                 0, static_cast<std::int64_t>(vertices_) - 1);
      }
      corners_.push_back(static_cast<int>(index));
    }
    if (mesh_.facets.size() + corners_.size() > most_facets) throw too_many(name_, "facets");
    mesh_.add_polygon(corners_.data(), corners_.size());
  }

  Header header_;
  std::uint64_t bytes_;  ///< behind the header
  Values values_;
  const std::string& name_;
  std::size_t skipped_;  ///< at the beginning of the first part
  ParsedMesh mesh_;
  std::size_t element_ = 0;   ///< the one that is read,
  std::uint64_t number_ = 0;  ///< and how many of it have been
  bool coloured_ = false;
  std::uint64_t vertices_ = 0;
  std::vector<int> corners_;
};

std::unique_ptr<BlockReader> body(Header header, std::uint64_t bytes, const std::string& name) {
  switch (header.coding) {
    case Header::Coding::ascii:
      return std::make_unique<Body<TextValues>>(std::move(header), bytes, name);
    case Header::Coding::little:
      return std::make_unique<Body<BinaryValues<false>>>(std::move(header), bytes, name);
    case Header::Coding::big:
      return std::make_unique<Body<BinaryValues<true>>>(std::move(header), bytes, name);
  }
  return {};
}

}  // namespace

FileMesh read_ply(std::string_view bytes, const std::string& name) {
  const std::unique_ptr<BlockReader> reader =
      body(HeaderText(bytes, name).read(), bytes.size(), name);
  reader->take(bytes);
  return reader->finish();
}

std::unique_ptr<BlockReader> ply_ascii_blocks(std::uint64_t bytes, std::string_view head,
                                              const std::string& name) {
  Header header = HeaderText(head, name).read();
  // Where the head ends within the header's last line, so does no part that could be taken.
  if (header.coding != Header::Coding::ascii || head[header.bytes - 1] != '\n') return nullptr;
  return body(std::move(header), bytes, name);
}

}  // namespace trueblank::intake
