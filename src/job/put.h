// Whole chapters of a job put in place of what stood there: a piece, the shop, the shelf, the cuts. Like edits, steps
// laid over the job file, which itself is never touched.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "job/apart_step.h"
#include "job/edit.h"
#include "units/result.h"

namespace tackcloth::job {

enum class Chapter { piece, shop, shelf, cut };

struct Put {
  Chapter chapter = Chapter::piece;
  std::string id;  // of the piece; empty for the others
  // JSON with the keys of docs/job.schema.json; empty takes a piece out. A piece that is there keeps its `taken_off`.
  std::string body;
};

// How a chapter is named where it is stored and sent: "piece/chair", "shop", "shelf", "cut".
std::string name_of(const Put& put);
Result<Put> put_named(std::string_view name);  // without its body

using Step = std::variant<Edit, Put, ApartStep>;

// The job with the steps laid over it in their order, as TOML. A new piece comes last, another keeps its place. Whether
// the result holds is parse_job's to say. A Problem when a text cannot be read, a body is not what it should be, or a
// step is about a piece that is not there.
Result<std::string> laid_over(std::string_view toml, const std::vector<Step>& steps);

// The whole job as JSON: keys as in docs/job.schema.json, dates as texts.
Result<std::string> as_json(std::string_view toml);

}  // namespace tackcloth::job
