#include "stumpwise/base/csv.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  fuzz::only_errors([&] {
    const auto parsed = base::parse_csv(fuzz::text_of(data, size), "input.csv");
    if (!parsed.ok()) return;
    for (const base::CsvRow& row : parsed.value.rows)
      fuzz::require(row.cells.size() == parsed.value.header.size(),
                    "a row without fault is as wide as the header");
  });
  return 0;
}
