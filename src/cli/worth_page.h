// GET /api/worth?QUERY: is this piece worth taking on? For the shop as it stands.
#pragma once

#include "cli/command.h"
#include "service/service.h"

namespace tackcloth::cli {

service::MadeFile worth_page(const Context& context);

}  // namespace tackcloth::cli
