#pragma once
#include <exception>
#include <functional>
#include <string>

/// The command line: reads the words, calls one function of `app`, prints its JSON or words made from it.
namespace stumpwise::cli {

/// What stands below this module in the order of the layers and is handed in by the program.
struct Faces {
  std::function<int(const std::string& book, int port)>
      serve;  ///< gives the exit status; empty: no server in this program
  int usual_port = 7311;
};

/// Carries out what the words ask for and gives the exit status: 0 done, 1 where a check found faults. Throws
/// Error (bad_usage for words that are not understood, with the nearest known ones) and whatever the work
/// throws.
int run(int argc, char** argv, const Faces& faces = {});

/// Tells the error on stderr, what is wrong and how to mend it, and gives the exit status (1 the work failed,
/// 2 bad usage).
int tell(const std::exception& error);

}  // namespace stumpwise::cli
