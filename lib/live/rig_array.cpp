// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/rig_array.h"

#include <cmath>
#include <cstddef>

#include "live/answer.h"
#include "live/live.h"
#include "rig/limits.h"

namespace trueblank::live {
namespace {

using geometry::Vec3;
using rig::PartKind;

/// Takes numbers off the array's front and keeps the first fault.
class Reader {
 public:
  explicit Reader(std::span<const double> array) : left_(array) {}

  [[nodiscard]] const Fault& fault() const { return fault_; }

  [[nodiscard]] bool good() const { return fault_.status == trueblank_live_good; }

  /// What is read from now on is of this part.
  void at(double kind, std::size_t index) {
    kind_ = kind;
    index_ = static_cast<double>(index);
  }

  void at(PartKind kind, std::size_t index) { at(static_cast<double>(kind), index); }

  void malformed() {
    if (good()) fault_ = {trueblank_live_malformed, nothing, nothing};
  }

  void must(bool in_range) {
    if (good() && !in_range) fault_ = {trueblank_live_number_out_of_range, kind_, index_};
  }

  double any() {
    if (left_.empty()) malformed();
    if (!good()) return nothing;
    const double number = left_.front();
    left_ = left_.subspan(1);
    return number;
  }

  double finite() {
    const double number = any();
    must(std::isfinite(number));
    return number;
  }

  double over_nil() {
    const double number = finite();
    must(number > 0);
    return number;
  }

  double nil_or_more() {
    const double number = finite();
    must(number >= 0);
    return number;
  }

  std::optional<double> said() {
    const double number = any();
    if (std::isnan(number)) return {};
    must(std::isfinite(number));
    return number;
  }

  std::optional<double> said_over_nil() {
    const std::optional<double> number = said();
    must(!number || *number > 0);
    return number;
  }

  /// One of 0 … most.
  int choice(int most) {
    const double number = any();
    for (int i = 0; i <= most; ++i) {
      if (number == i) return i;
    }
    malformed();
    return 0;
  }

  /// How many of something that takes so many numbers at least; all of them fit in what is left.
  std::size_t count(std::size_t numbers_each) {
    const double number = any();
    const bool whole = number >= 0 && number == std::floor(number);
    if (!whole || number * static_cast<double>(numbers_each) > static_cast<double>(left_.size())) {
      malformed();
      return 0;
    }
    return static_cast<std::size_t>(number);
  }

  Vec3 point() {
    const double x = finite();
    const double y = finite();
    const double z = finite();
    return {x, y, z};
  }

  void end() {
    if (!left_.empty()) malformed();
  }

 private:
  std::span<const double> left_;
  double kind_ = 0;
  double index_ = 0;
  Fault fault_;
};

void read_wood(Reader& from, WrittenRig& written) {
  from.at(PartKind::wood, 0);
  const int kind = from.choice(2);
  const double first = from.over_nil();
  if (kind == 0) written.rig.wood_density_g_cm3 = first;
  if (kind == 1) written.wood_g = first;
  if (kind == 2) {
    written.rig.halves = rig::Halves{.left_g = first, .right_g = from.over_nil()};
    written.wood_g = written.rig.halves->left_g + written.rig.halves->right_g;
  } else {
    from.any();
  }
  written.rig.wood_weighed = written.wood_g.has_value();
  written.rig.wood_balance_mm = from.said();
}

void read_finish(Reader& from, WrittenRig& written) {
  from.at(PartKind::finish, 0);
  const std::optional<double> thickness_mm = from.said_over_nil();
  const std::optional<double> density = from.said_over_nil();
  const std::optional<double> weighed_g = from.said_over_nil();
  if (!thickness_mm) return;
  from.must(*thickness_mm <= rig::thickest_coat_mm && (density || weighed_g));
  written.rig.finish = rig::Finish{
      .thickness_mm = *thickness_mm, .density_g_cm3 = density.value_or(0), .weighed_g = weighed_g};
}

void read_water(Reader& from, WrittenRig& written) {
  from.at(trueblank_live_water, 0);
  const double salinity = from.any();
  const double temperature_c = from.any();
  const std::optional<double> density = from.said_over_nil();
  if (density) {
    written.rig.water = {.salinity = salinity,
                         .temperature_c = temperature_c,
                         .density_g_cm3 = *density,
                         .density_given = true};
    return;
  }
  from.must(salinity >= 0 && salinity <= rig::most_salinity &&
            temperature_c >= rig::coldest_water_c && temperature_c <= rig::warmest_water_c);
  if (from.good()) written.rig.water = rig::water_at(salinity, temperature_c);
}

void read_baseline(Reader& from, WrittenRig& written) {
  from.at(trueblank_live_baseline, 0);
  double ends[6];
  bool said = false;
  for (double& number : ends) {
    number = from.any();
    said = said || !std::isnan(number);
  }
  if (!said) return;
  const rig::Baseline line{.nose_mm = {ends[0], ends[1], ends[2]},
                           .tail_mm = {ends[3], ends[4], ends[5]}};
  const double length_mm = (line.tail_mm - line.nose_mm).norm();
  from.must(std::isfinite(length_mm) && length_mm >= rig::same_point_mm);
  written.baseline = line;
}

rig::Wire read_wire(Reader& from) {
  rig::Wire wire;
  wire.density_g_cm3 = from.over_nil();
  wire.diameter_mm = from.over_nil();
  wire.weighed_g = from.said_over_nil();
  const std::size_t points = from.count(3);
  if (points < 2) from.malformed();
  for (std::size_t i = 0; i < points; ++i) {
    wire.path_mm.push_back(from.point());
    if (i > 0) from.must((wire.path_mm[i] - wire.path_mm[i - 1]).norm() >= rig::same_point_mm);
  }
  return wire;
}

// Inside or outside.
template <class Weight>
Weight read_weight(Reader& from) {
  Weight weight;
  weight.at_mm = from.point();
  weight.mass_g = from.over_nil();
  weight.density_g_cm3 = from.over_nil();
  return weight;
}

rig::Pocket read_pocket(Reader& from, const rig::Water& water) {
  rig::Pocket pocket;
  pocket.at_mm = from.point();
  pocket.diameter_mm = from.over_nil();
  pocket.depth_mm = from.over_nil();
  pocket.axis = static_cast<rig::HoleAxis>(from.choice(2));
  const double density = from.any();
  pocket.filled_with_water = from.choice(1) == 1;
  from.must(pocket.filled_with_water || (std::isfinite(density) && density >= 0));
  pocket.filling_density_g_cm3 = pocket.filled_with_water ? water.density_g_cm3 : density;
  return pocket;
}

rig::Hook read_hook(Reader& from) {
  rig::Hook hook;
  hook.eye_mm = from.point();
  hook.mass_g = from.over_nil();
  hook.density_g_cm3 = from.over_nil();
  hook.hang_mm = from.nil_or_more();
  hook.size_up_g = from.said_over_nil();
  return hook;
}

template <class Part, class Read>
void read_all(Reader& from, PartKind kind, std::size_t count, std::vector<Part>& parts,
              const Read& read) {
  for (std::size_t i = 0; i < count && from.good(); ++i) {
    from.at(kind, i);
    parts.push_back(read(from));
  }
}

}  // namespace

WrittenRig read_rig(std::span<const double> array) {
  WrittenRig written;
  Reader from(array);
  read_wood(from, written);
  read_finish(from, written);
  read_water(from, written);
  read_baseline(from, written);
  const std::size_t wires = from.count(10);
  const std::size_t ballasts = from.count(5);
  const std::size_t pockets = from.count(8);
  const std::size_t hooks = from.count(7);
  const std::size_t outsides = from.count(5);
  rig::Rig& rig = written.rig;
  const auto pocket = [&](Reader& reader) { return read_pocket(reader, rig.water); };
  read_all(from, PartKind::wire, wires, rig.wires, read_wire);
  read_all(from, PartKind::ballast, ballasts, rig.ballasts, read_weight<rig::Ballast>);
  read_all(from, PartKind::pocket, pockets, rig.pockets, pocket);
  read_all(from, PartKind::hook, hooks, rig.hooks, read_hook);
  read_all(from, PartKind::outside, outsides, rig.outsides, read_weight<rig::Outside>);
  from.end();
  written.fault = from.fault();
  return written;
}

}  // namespace trueblank::live
