// Rows of comma-separated values, RFC 4180.
#pragma once

#include <string>
#include <vector>

namespace tackcloth::sheet {

std::string csv_row(const std::vector<std::string>& fields);  // with its line end

}  // namespace tackcloth::sheet
