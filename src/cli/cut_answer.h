// A cutting layout in words, as a drawing, as JSON and as files: for the command and for the page.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cutting/order.h"
#include "sheet/cut_sheet.h"

namespace tackcloth::cli {

// What to buy first, then how good the layout is, then what to mind.
std::vector<std::string> words_of(const cutting::Answer& answer, units::System system);
sheet::CutDrawing drawing_of(const cutting::Answer& answer, const std::string& title, units::System system);
nlohmann::ordered_json json_of(const cutting::Answer& answer, const sheet::CutDrawing& drawing);
std::string places_csv(const cutting::Answer& answer, const sheet::CutDrawing& drawing);  // micrometres
// "pdf", "svg", "dxf" or "csv".
Result<std::string> file_of(const cutting::Answer& answer, const sheet::CutDrawing& drawing, const std::string& kind,
                            sheet::Paper paper, const sheet::Tongue& tongue = {});

}  // namespace tackcloth::cli
