#include <filesystem>
#include <iostream>
#include <memory>

#include "cli/command.h"
#include "ledger/everything.h"

namespace tackcloth::cli {
namespace {

struct EverythingCommand {
  std::string data = "tackcloth.db", out, from;
};

void run_everything(const EverythingCommand& command, Context& context) {
  const bool server = command.data.starts_with("postgresql://") || command.data.starts_with("postgres://");
  if (!command.out.empty() && !server && !std::filesystem::exists(command.data)) {
    context.exit_code = report({{command.data, 0, 0, "there is no such data file", "the one to save", "check --data"}});
    return;
  }
  auto ledger = ledger::open(command.data);
  if (!ledger) {
    context.exit_code = report({ledger.error()});
    return;
  }
  const auto done = command.out.empty() ? ledger::read_everything(command.from, **ledger)
                                        : ledger::write_everything(**ledger, command.out);
  if (!done) {
    context.exit_code = report({done.error()});
    return;
  }
  if (command.out.empty())
    // The address of a server may hold a password.
    std::cout << "All of " << command.from << " is in " << (server ? "the database" : command.data) << "." << std::endl;
  else
    std::cout << "Everything is in " << command.out << "." << std::endl;
}

}  // namespace

void add_everything(CLI::App& app, Context& context) {
  auto command = std::make_shared<EverythingCommand>();
  CLI::App* sub = app.add_subcommand("everything", "All of a data file as one file, and back into an empty one");
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  auto* out = sub->add_option("--out", command->out, "write everything to this file (a gzipped tar)");
  auto* from = sub->add_option("--from", command->from, "bring this file back into an empty --data");
  out->excludes(from);
  sub->callback([command, &context] {
    if (command->out.empty() == command->from.empty()) {
      context.exit_code = report({{"", 0, 0, "say what to do", "--out FILE or --from FILE", "name one of them"}});
      return;
    }
    run_everything(*command, context);
  });
}

}  // namespace tackcloth::cli
