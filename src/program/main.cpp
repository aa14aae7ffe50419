#include "stumpwise/base/interrupt.h"
#include "stumpwise/cli/cli.h"
#include "stumpwise/serve/serve.h"

namespace {

stumpwise::cli::Faces faces() {
  return {.serve = [](const std::string& book,
                      int port) { return stumpwise::serve::serve({.book = book, .port = port}); },
          .usual_port = stumpwise::serve::kUsualPort};
}

}  // namespace

int main(int argc, char** argv) {
  try {
    stumpwise::base::catch_interrupts();
    return stumpwise::cli::run(argc, argv, faces());
  } catch (const std::exception& error) {
    return stumpwise::cli::tell(error);
  }
}
