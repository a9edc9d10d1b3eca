// What a rule has to say about a plan.
#pragma once

#include <string>

namespace tackcloth::catalog {

enum class Severity { note, caution, must_not };

struct Finding {
  std::string rule;  // id of the rule, e.g. "wash-before-sanding"
  Severity severity = Severity::note;
  std::string reason;  // why, in one or two plain sentences
  std::string mend;    // the least change that puts it right
  std::string source;  // standard, handbook, or "common practice, no source"
  std::string piece;   // id, may be empty
  std::string zone;    // id, may be empty
};

std::string to_text(Severity severity);  // "note", "caution", "must-not"

}  // namespace tackcloth::catalog
