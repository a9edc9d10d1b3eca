// Changes made to zones after the job file was written, kept as steps: the file itself is never touched.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "units/result.h"

namespace tackcloth::job {

// Keys of [[piece.part.zone]] with new values; an empty value takes the key out. A zone that is not there is added.
using EditRows = std::vector<std::vector<double>>;  // corners and lines: points, through; millimetres
using EditValue = std::variant<std::monostate, std::string, double, EditRows>;
struct Edit {
  std::string piece, part, zone;
  bool remove = false;  // the zone as a whole
  std::vector<std::pair<std::string, EditValue>> set;
};

// The job with the edits laid over it, as TOML. Whether the result holds is parse_job's to say. A Problem when the text
// is not TOML or a piece or part is not there.
Result<std::string> edited(std::string_view toml, const std::vector<Edit>& edits);

// The keys of one zone as they are written, lengths of its shape in millimetres.
std::vector<std::pair<std::string, EditValue>> written_keys(std::string_view toml, const std::string& piece,
                                                            const std::string& part, const std::string& zone);

}  // namespace tackcloth::job
