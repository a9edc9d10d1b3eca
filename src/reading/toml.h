// The TOML parser, set up the same way wherever it is used (it is all headers: two set-ups would be two parsers under
// one name). For .cpp files only.
#pragma once

#include <stdexcept>

// The parser's own assertions must not end the program, nor let the compiler assume them away: they throw instead.
#ifdef NDEBUG
#undef NDEBUG
#endif
namespace tackcloth::reading {
[[noreturn]] inline void parser_tripped(const char* what) { throw std::logic_error(what); }
}  // namespace tackcloth::reading
#define TOML_ASSERT(expr) ((expr) ? void() : ::tackcloth::reading::parser_tripped(#expr))
// TOML 1.1: a time without seconds, lines broken inside { }.
#define TOML_ENABLE_UNRELEASED_FEATURES 1
#include <toml++/toml.h>
