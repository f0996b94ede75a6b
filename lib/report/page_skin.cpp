// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/page_skin.h"

#include <algorithm>
#include <cmath>

namespace trueblank::report {

namespace {

constexpr double kPlaces = 65535;
constexpr double kSteps = 30000;
constexpr double kMostFine = 32767;

class Bytes {
 public:
  void put(std::uint8_t byte) { all_.push_back(byte); }

  void put16(long value) {
    const auto bits = static_cast<std::uint16_t>(static_cast<std::int16_t>(value));
    put(static_cast<std::uint8_t>(bits & 0xff));
    put(static_cast<std::uint8_t>(bits >> 8));
  }

  void put16u(long value) {
    put(static_cast<std::uint8_t>(value & 0xff));
    put(static_cast<std::uint8_t>((value >> 8) & 0xff));
  }

  // Zigzag, seven bits a byte, the low ones first.
  void put_step(std::int64_t step) {
    auto left = static_cast<std::uint64_t>(step < 0 ? -2 * step - 1 : 2 * step);
    while (left > 127) {
      put(static_cast<std::uint8_t>(128 | (left & 127)));
      left >>= 7;
    }
    put(static_cast<std::uint8_t>(left));
  }

  [[nodiscard]] const std::vector<std::uint8_t>& all() const { return all_; }

 private:
  std::vector<std::uint8_t> all_;
};

// The vertices that facets use, in the order of first use, and the new number of each.
struct Order {
  std::vector<int> kept;
  std::vector<int> number;
};

Order order_of_use(const geometry::TriangleMesh& mesh) {
  Order order;
  order.number.assign(static_cast<std::size_t>(mesh.vertex_count()), -1);
  for (Eigen::Index i = 0; i < mesh.facets.size(); ++i) {
    int& number = order.number[static_cast<std::size_t>(mesh.facets.data()[i])];
    if (number >= 0) continue;
    number = static_cast<int>(order.kept.size());
    order.kept.push_back(mesh.facets.data()[i]);
  }
  return order;
}

double greatest(const std::vector<double>& values) {
  double most = 0;
  for (const double value : values) most = std::max(most, std::abs(value));
  return most;
}

// 0 to 65535 along axis k of the box.
int place_of(double at_mm, int k, const PackedSkin& packed) {
  const double range = std::max(packed.high_mm[k] - packed.low_mm[k], 1e-300);
  const double share = (at_mm - packed.low_mm[k]) / range;
  return static_cast<int>(std::lround(std::clamp(share, 0.0, 1.0) * kPlaces));
}

void put_positions(Bytes& out, const geometry::TriangleMesh& mesh, const Order& order,
                   PackedSkin& packed) {
  packed.low_mm.setConstant(1e300);
  packed.high_mm.setConstant(-1e300);
  for (const int v : order.kept) {
    packed.low_mm = packed.low_mm.cwiseMin(mesh.positions_mm.col(v));
    packed.high_mm = packed.high_mm.cwiseMax(mesh.positions_mm.col(v));
  }
  for (int k = 0; k < 3; ++k) {
    for (const int v : order.kept) out.put16u(place_of(mesh.positions_mm(k, v), k, packed));
  }
}

// What is left of each place, in 1/65535 of its step.
void put_fine(Bytes& out, const geometry::TriangleMesh& mesh, const Order& order,
              const PackedSkin& packed) {
  for (int k = 0; k < 3; ++k) {
    const double step = (packed.high_mm[k] - packed.low_mm[k]) / kPlaces;
    for (const int v : order.kept) {
      const double at = mesh.positions_mm(k, v);
      const double left = at - (packed.low_mm[k] + step * place_of(at, k, packed));
      const double fine = step > 0 ? left / step * kPlaces : 0;
      out.put16(std::lround(std::clamp(fine, -kMostFine, kMostFine)));
    }
  }
}

void put_facets(Bytes& out, const geometry::TriangleMesh& mesh, const Order& order) {
  std::int64_t last = 0;
  for (Eigen::Index i = 0; i < mesh.facets.size(); ++i) {
    const std::int64_t next = order.number[static_cast<std::size_t>(mesh.facets.data()[i])];
    out.put_step(next - last);
    last = next;
  }
}

void put_flags(Bytes& out, const PageSkin& skin, const Order& order) {
  for (const int v : order.kept) {
    const auto i = static_cast<std::size_t>(v);
    const int measured = skin.measured.empty() || skin.measured[i] != 0 ? 1 : 0;
    const int beyond = !skin.beyond_noise.empty() && skin.beyond_noise[i] != 0 ? 2 : 0;
    out.put(static_cast<std::uint8_t>(measured | beyond));
  }
}

}  // namespace

PackedSkin packed(const PageSkin& skin) {
  PackedSkin result;
  const Order order = order_of_use(skin.mesh);
  result.vertices = static_cast<int>(order.kept.size());
  result.facets = skin.mesh.facet_count();
  Bytes out;
  put_positions(out, skin.mesh, order, result);
  put_facets(out, skin.mesh, order);
  if (!skin.deviation_mm.empty()) {
    result.attributes.emplace_back("deviation");
    result.deviation_step_mm = std::max(greatest(skin.deviation_mm) / kSteps, 1e-9);
    for (const int v : order.kept) {
      out.put16(
          std::lround(skin.deviation_mm[static_cast<std::size_t>(v)] / result.deviation_step_mm));
    }
  }
  if (!skin.depth_mm.empty()) {
    result.attributes.emplace_back("depth");
    result.depth_step_mm = std::max(greatest(skin.depth_mm) / kSteps, 1e-9);
    for (const int v : order.kept) {
      out.put16u(std::lround(skin.depth_mm[static_cast<std::size_t>(v)] / result.depth_step_mm));
    }
  }
  if (!skin.measured.empty() || !skin.beyond_noise.empty()) {
    result.attributes.emplace_back("flags");
    put_flags(out, skin, order);
  }
  if (!skin.colours.empty()) {
    result.attributes.emplace_back("colours");
    for (const int v : order.kept) {
      for (const std::uint8_t part : skin.colours[static_cast<std::size_t>(v)]) out.put(part);
    }
  }
  if (skin.exact) {
    result.attributes.emplace_back("fine");
    put_fine(out, skin.mesh, order, result);
  }
  result.base64 = base64(out.all());
  return result;
}

std::string base64(std::span<const std::uint8_t> bytes) {
  static constexpr char letters[] =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t three = 0;
    for (std::size_t k = 0; k < 3; ++k) three = three << 8 | (k < count ? bytes[i + k] : 0u);
    for (std::size_t k = 0; k < 4; ++k) {
      text += k <= count ? letters[three >> (18 - 6 * k) & 63] : '=';
    }
  }
  return text;
}

}  // namespace trueblank::report
