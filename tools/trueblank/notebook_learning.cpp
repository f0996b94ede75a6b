// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook_learning.h"

#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/error.h"
#include "kept_build.h"
#include "notebook/learning_water.h"

namespace trueblank::tools {

using geometry::InputError;

namespace {

// The way up of a pose that was told by its angles; without a list it lies as with none.
geometry::Vec3 up_of(const notebook::Figures& figures) {
  constexpr double per_deg = std::numbers::pi / 180;
  const double trim = figures.tail_down_deg.value_or(0) * per_deg;
  const double list = figures.list_deg.value_or(0) * per_deg;
  return {-std::sin(trim), -std::cos(trim) * std::sin(list), std::cos(trim) * std::cos(list)};
}

}  // namespace

struct BookLessons::Inside {
  std::vector<notebook::ListedBuild> builds;
  std::vector<std::unique_ptr<ReadLure>> lures;  // what `rebuilt` refers to
  std::vector<notebook::RebuiltLure> rebuilt;
  rig::Tolerances tolerances;
  std::vector<notebook::Cause> causes;
  notebook::Foretelling foretelling;
  std::optional<std::size_t> wanted;
  std::vector<std::string> warnings;
};

BookLessons::BookLessons(const notebook::Book& book, std::optional<std::int64_t> wanted,
                         const Workshop& workshop)
    : inside_(std::make_unique<Inside>()) {
  Inside& in = *inside_;
  for (notebook::ListedBuild& listed : book.list()) {
    const bool is_wanted = wanted == listed.facts.id;
    if (listed.tank.empty() && !is_wanted) continue;
    workshop.progress.step("reading build " + std::to_string(listed.facts.id) + " again ...");
    try {
      const notebook::Build kept = book.show(listed.facts.id).build;
      const LaidOut laid_out(kept.sheet, kept.files);
      auto lure = std::make_unique<ReadLure>(laid_out.sheet_path(), workshop.loop);
      rig::Assembly laid = lure->lure().laid(lure->resolved().rig);
      if (listed.facts.as_built) {
        laid = notebook::as_built_rig(laid, *listed.facts.as_built).laid;
      }
      in.tolerances = lure->resolved().tolerances;
      in.rebuilt.push_back({.body = &lure->wet().tree,
                            .laid = std::move(laid),
                            .wood = listed.facts.figures.wood,
                            .up = up_of(listed.facts.figures)});
      in.lures.push_back(std::move(lure));
    } catch (const InputError& error) {
      in.warnings.push_back("Build " + std::to_string(listed.facts.id) +
                            " can't be read again: " + error.problem + '.');
      continue;
    }
    if (is_wanted) in.wanted = in.builds.size();
    in.builds.push_back(std::move(listed));
  }
  in.causes = notebook::causes_of(in.builds, in.tolerances);
  in.foretelling = notebook::foretelling_of(in.rebuilt, in.causes, in.tolerances);
}

BookLessons::~BookLessons() = default;

const std::vector<std::string>& BookLessons::warnings() const { return inside_->warnings; }

report::LearnedBook BookLessons::learned() const {
  const Inside& in = *inside_;
  report::LearnedBook book{.causes = in.causes};
  for (const notebook::ListedBuild& build : in.builds) {
    book.ids.push_back(build.facts.id);
    book.titles.push_back(build.facts.title);
  }
  book.learned = notebook::learn(in.builds, in.causes, in.foretelling);
  book.by_sheet = notebook::compare(in.builds, in.foretelling, {});
  book.calibration = notebook::calibration(notebook::hindsight(
      in.builds, in.causes, in.foretelling, notebook::KnownThen::earlier_builds));
  return book;
}

std::optional<report::Foretold> BookLessons::foretold(const report::LearnedBook& learned) const {
  const Inside& in = *inside_;
  if (!in.wanted) return {};
  const std::optional<rig::Water>& water = in.builds[*in.wanted].facts.figures.water;
  return report::Foretold{notebook::expected(learned.learned, in.foretelling, *in.wanted,
                                             water.value_or(rig::water_at(0, 20)))};
}

}  // namespace trueblank::tools
