// The first line is the column map, the rest the file.
#include <algorithm>

#include "stumpwise/weather/read.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  const std::string_view text = fuzz::text_of(data, size);
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string path =
      fuzz::scratch_file(text.substr(std::min(end + 1, text.size())), "weather.csv").string();
  fuzz::only_errors([&] { weather::read_any(path); });
  fuzz::only_errors([&] {
    const weather::ColumnMap columns = weather::parse_column_map(std::string(text.substr(0, end)));
    auto parsed = weather::read_csv(path, &columns);
    if (!parsed.ok()) return;
    for (std::size_t i = 1; i < parsed.value.days.size(); ++i)
      fuzz::require(parsed.value.days[i - 1].date < parsed.value.days[i].date,
                    "days stand in order, each once");
    weather::fill_gaps(parsed.value);
  });
  return 0;
}
