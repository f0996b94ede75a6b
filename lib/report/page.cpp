// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/page.h"

#include <utility>

#include "report/json_object.h"
#include "report/page_parts.h"

namespace trueblank::report {

namespace {

constexpr std::string_view kMapCredit =
    "Colours of the map: ColorBrewer PuOr by Cynthia A. Brewer, The Pennsylvania State University, "
    "read off smoothly between its classes.";

std::vector<std::string> cautions(const Page& page) {
  std::vector<std::string> lines = {
      "Local rules and each product’s own safety sheet come first.",
      "Wood dust harms the lungs, and that of western redcedar above all: catch it at the tool and "
      "wear a mask that seals.",
      "Clamp a small body to drill it; never hold it by hand.",
      "Epoxy and polyurethane can make you allergic for life: nitrile gloves, fresh air. Oily rags "
      "can set themselves on fire: dry them spread out, outdoors."};
  if (page.verb != "float" && page.verb != "ballast") return lines;
  lines.emplace_back(
      page.has_lead
          ? "Lead: wash your hands, keep it from children and food; some rules ban it. Never pour "
            "molten lead into damp or unsealed wood. Tin, bismuth or brass do it without lead, "
            "tungsten in less room."
          : "Weights without lead spare you its rules and its risks.");
  lines.emplace_back(
      "Cover hook points while you rig and carry; for a heavy cast clear the whole arc, protect "
      "your eyes, and use a line that is fit for the weight.");
  lines.emplace_back(
      "Still water and one rigid piece only: swimming action, the flight of a cast and strength "
      "are not computed. Surface tension is left out: wet the lure well.");
  return lines;
}

JsonObject rig_json(const rig::Rig& rig) {
  JsonObject out;
  std::vector<JsonObject> wires;
  for (const rig::Wire& wire : rig.wires) {
    JsonObject& entry = wires.emplace_back();
    entry.text("name", wire.name);
    entry.number("diameter_mm", wire.diameter_mm);
    entry.vectors("path_mm", wire.path_mm);
  }
  std::vector<JsonObject> weights;
  const auto weight = [&weights](const auto& part) {
    JsonObject& entry = weights.emplace_back();
    entry.text("name", part.name);
    entry.number("mass_g", part.mass_g);
    entry.number("density_g_cm3", part.density_g_cm3);
    entry.vector("at_mm", part.at_mm);
  };
  for (const rig::Ballast& part : rig.ballasts) weight(part);
  for (const rig::Outside& part : rig.outsides) weight(part);
  std::vector<JsonObject> hooks;
  for (const rig::Hook& hook : rig.hooks) {
    JsonObject& entry = hooks.emplace_back();
    entry.text("name", hook.name);
    entry.number("mass_g", hook.mass_g);
    entry.number("hang_mm", hook.hang_mm);
    entry.vector("eye_mm", hook.eye_mm);
  }
  out.list("wires", std::move(wires));
  out.list("weights", std::move(weights));
  out.list("hooks", std::move(hooks));
  return out;
}

JsonObject skin_json(const PageSkin& skin, const PackedSkin& packed) {
  JsonObject out;
  out.text("frame", skin.in_body_frame ? "body" : "file");
  out.count("vertices", packed.vertices);
  out.count("facets", packed.facets);
  out.vector("low_mm", packed.low_mm);
  out.vector("high_mm", packed.high_mm);
  out.number("deviation_step_mm", packed.deviation_step_mm);
  out.number("depth_step_mm", packed.depth_step_mm);
  out.texts("attributes", packed.attributes);
  out.count("thinned_from", skin.thinned_from);
  return out;
}

std::string scene_json(const Page& page, const std::optional<PackedSkin>& packed) {
  JsonObject scale;
  scale.number("deviation_mm", page.deviation_scale_mm);
  scale.number("depth_mm", page.depth_scale_mm);
  JsonObject out;
  out.text("verb", page.verb);
  out.text("title", page.title);
  out.text("answer", page.answer);
  out.text("text", page.text);
  out.texts("cautions", cautions(page));
  out.texts("notices", {std::string(kMapCredit), page_notices()});
  out.flag("imperial", page.imperial);
  out.object("scale", std::move(scale));
  out.object("skin", packed ? std::optional(skin_json(*page.skin, *packed)) : std::nullopt);
  out.object("live", page.live ? std::optional(live_json(*page.live)) : std::nullopt);
  out.object("rig", page.rig ? std::optional(rig_json(*page.rig)) : std::nullopt);
  return out.written();
}

// A worker can be had in a page of one file only from a blob.
std::string policy(bool solves) {
  return "default-src 'none'; script-src " + std::string(page_script_hash()) +
         (solves ? " 'wasm-unsafe-eval'; worker-src blob:" : "") + "; style-src " +
         std::string(page_style_hash()) + "; img-src data:; base-uri 'none'; form-action 'none'";
}

std::string data(std::string_view id, std::string_view type, std::string_view content) {
  std::string text = "<script type=\"";
  text.append(type).append("\" id=\"").append(id).append("\">").append(content);
  return text + "</script>\n";
}

}  // namespace

bool pages_can_be_written() { return has_page(); }

std::string escaped_html(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else if (c == '"') {
      out += "&quot;";
    } else if (c == '\'') {
      out += "&#39;";
    } else if (static_cast<unsigned char>(c) >= 0x20 || c == '\n' || c == '\t') {
      out += c;
    }
  }
  return out;
}

std::string escaped_in_script(std::string_view json) {
  std::string out;
  out.reserve(json.size());
  for (const char c : json) {
    if (c == '<') {
      out += "\\u003c";
    } else {
      out += c;
    }
  }
  return out;
}

std::string page_html(const Page& page) {
  const std::optional<PackedSkin> skin =
      page.skin ? std::optional(packed(*page.skin)) : std::nullopt;
  const bool solves = page.live && !page_module().empty();
  std::string html =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"" +
      policy(solves) +
      "\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      escaped_html(page.title) + "</title>\n<style>";
  html += page_style();
  html += "</style>\n</head>\n<body>\n<div id=\"page\"><h1>" + escaped_html(page.title) +
          "</h1>\n<p>" + escaped_html(page.answer) + "</p>\n<noscript><pre>" +
          escaped_html(page.text) + "</pre></noscript></div>\n";
  html += data("result", "application/json", escaped_in_script(page.json));
  html += data("scene", "application/json", escaped_in_script(scene_json(page, skin)));
  if (skin) html += data("skin", "text/plain", skin->base64);
  if (solves) {
    html += data("water-module", "text/plain", page_module());
    html += data("water-worker", "text/plain", page_worker());
  }
  html += "<script>" + page_script() + "</script>\n</body>\n</html>\n";
  return html;
}

}  // namespace trueblank::report
