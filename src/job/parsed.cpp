#include "job/parsed.h"

#include <string>

namespace tackcloth::job {

Result<toml::table> parsed(std::string_view text) {
  try {
    return toml::parse(text);
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problem{"", static_cast<int>(error.source().begin.line),
                                  static_cast<int>(error.source().begin.column), std::string(error.description()),
                                  "a job file in TOML", "mend the job file"});
  } catch (const std::logic_error& error) {  // the parser's own assertions
    return tl::unexpected(Problem{"", 0, 0, error.what(), "a job file in TOML", "mend the job file"});
  }
}

}  // namespace tackcloth::job
