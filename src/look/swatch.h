// The picture of one repeat of a cloth, from beside the job file or from the job itself.
#pragma once

#include <string>
#include <string_view>

#include "job/job.h"
#include "picture/image.h"
#include "units/result.h"

namespace tackcloth::look {

// Base64 as RFC 4648 section 4 has it; nothing when it is not.
Result<std::string> from_base64(std::string_view text);

// At most 512 pixels a side. A file of the job's directory or below it; of data URLs JPEG and PNG, base64.
Result<picture::Image> load_swatch(const std::string& job_file, const job::Swatch& swatch);

}  // namespace tackcloth::look
