#include "stumpwise/demo/valley.h"
#include <gtest/gtest.h>
#include <chrono>
#include <cstdlib>
TEST(Valley, Look) {
  const auto t = std::chrono::steady_clock::now();
  std::filesystem::create_directories("/tmp/enn");
  stumpwise::demo::make_valley("/tmp/enn", 1);
  printf("%.2f s\n", std::chrono::duration<double>(std::chrono::steady_clock::now() - t).count());
}
