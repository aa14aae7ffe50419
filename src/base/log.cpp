#include "stumpwise/base/log.h"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <cstdlib>
#include <string>

namespace stumpwise::base {
namespace {

spdlog::logger& logger() {
  static const auto instance = [] {
    auto made =
        std::make_shared<spdlog::logger>("stumpwise", std::make_shared<spdlog::sinks::stderr_sink_mt>());
    made->set_pattern("%l: %v");
    const char* level = std::getenv("STUMPWISE_LOG");
    made->set_level(level && std::string(level) == "debug" ? spdlog::level::debug : spdlog::level::warn);
    return made;
  }();
  return *instance;
}

}  // namespace

void log_debug(std::string_view text) {
  logger().debug("{}", text);
}
void log_info(std::string_view text) {
  logger().info("{}", text);
}
void log_warning(std::string_view text) {
  logger().warn("{}", text);
}

}  // namespace stumpwise::base
