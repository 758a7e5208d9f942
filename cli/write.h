// Reports become text, CSV or JSON here. The only place that rounds.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cli/table.h"

namespace tierce {

constexpr std::size_t kPageWidth = 100;  // characters

std::string text_of(const Report& report, Units units);
std::string csv_of(const Table& table, Units units);
std::string json_text(const nlohmann::json& json);

// Figures inside a sentence, rounded as the tables round them and with their unit.
std::string figure_text(double value, Figure figure, Units units);
/// As figure_text, without the unit.
std::string number_text(double value, Figure figure, Units units);
std::string day_text(const Date& date);  // 6 Nov 2026

/// Writes `content` to `path` whole or not at all: to a new file beside it, synced, then renamed. Empty, or why not.
std::string write_file(const std::string& path, const std::string& content);

}  // namespace tierce
