// The first line is a printed notation, the rest the file of measured spores.
#include <algorithm>

#include "stumpwise/key/read_spores.h"
#include "target.h"

namespace {

using stumpwise::fuzz::require;

void check(const stumpwise::key::Spread& spread) {
  require(spread.min <= spread.p5 && spread.p5 <= spread.p95 && spread.p95 <= spread.max,
          "percentiles lie between the ends");
  require(spread.min <= spread.mean && spread.mean <= spread.max, "the mean lies between the ends");
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  const std::string_view text = fuzz::text_of(data, size);
  const std::size_t end = std::min(text.find('\n'), text.size());
  fuzz::only_errors([&] { key::parse_notation(std::string(text.substr(0, end))); });
  const std::string_view table = text.substr(std::min(end + 1, text.size()));
  for (const std::optional<double> um_per_div : {std::optional<double>(), std::optional(0.98)})
    fuzz::only_errors([&] {
      const auto parsed = key::spores_from_text(table, "spores.csv", um_per_div);
      if (!parsed.ok()) return;
      const key::SporeStatistics statistics = key::spore_statistics(parsed.value);
      check(statistics.length_um);
      check(statistics.width_um);
      check(statistics.q);
      const key::PrintedSpores printed = key::parse_notation(key::bracket_notation(statistics));
      require(printed.spores == statistics.spores, "the notation is read back");
    });
  return 0;
}
