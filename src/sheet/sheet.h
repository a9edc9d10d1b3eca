// Papers: job sheet (PDF), calendar (RFC 5545), shopping list (CSV; its heads are for programs and stay English). What
// people read is in the language of a Tongue. Written whole or not at all (temporary + rename).
#pragma once

#include <string>

#include "plan/plan.h"
#include "tongue/tongue.h"
#include "units/result.h"

namespace tackcloth::sheet {

using tongue::Tongue;

enum class Paper { a4, letter };  // ISO 216; ANSI/ASME Y14.1 size A

// At most two pages a piece, readable at arm's length (body text 11 pt or larger). Text can be selected and searched.
Result<std::string> job_sheet_pdf(const plan::Plan& plan, Paper paper, Instant made_at,
                                  const Tongue& tongue = {});  // the bytes
std::string calendar_ics(const plan::Plan& plan, Instant made_at, const Tongue& tongue = {});
std::string shopping_csv(const plan::Plan& plan);  // RFC 4180
// Writes bytes so that a reader sees the old file or the new one, never half of it.
Result<void> write_file(const std::string& path, std::string_view bytes);

}  // namespace tackcloth::sheet
