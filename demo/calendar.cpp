#include "calendar.h"

#include <algorithm>
#include <map>

#include "stumpwise/base/random.h"

namespace stumpwise::demo {
namespace {

using base::make_date;
using Targets = std::vector<std::string>;

/// Outings of a season by month, January first: 48 in all.
constexpr int kByMonth[12] = {3, 2, 3, 5, 8, 3, 2, 3, 5, 7, 4, 3};

/// What people look for in a month.
Targets targets_in(unsigned month, base::Random& random) {
  const double draw = random.uniform();
  switch (month) {
    case 12:
    case 1:
    case 2:
      return draw < 0.7 ? Targets{"O22"} : draw < 0.9 ? Targets{"O22", "E19"} : Targets{"E19"};
    case 3:
      return draw < 0.5   ? Targets{"O22", "E19"}
             : draw < 0.8 ? Targets{"O22"}
                          : Targets{"E01"};  // too early, as people are
    case 4:
      return draw < 0.7 ? Targets{"E01"} : Targets{"E01", "E02"};
    case 5:
      return draw < 0.6 ? Targets{"E01"} : draw < 0.85 ? Targets{"E01", "E02"} : Targets{"E01", "E05"};
    case 6:
      return draw < 0.6 ? Targets{"E01"} : Targets{"E01", "E05"};
    case 7:
      return draw < 0.5 ? Targets{"E10"} : Targets{"E05", "E10"};
    case 8:
      return draw < 0.6 ? Targets{"E10"} : Targets{"E10", "X23"};
    case 9:
      return draw < 0.3    ? Targets{"X04", "O18"}
             : draw < 0.5  ? Targets{"E10", "X09"}
             : draw < 0.7  ? Targets{"E07", "X23"}
             : draw < 0.85 ? Targets{"X04"}
                           : Targets{"E01"};
    case 10:
      return draw < 0.35   ? Targets{"X04"}
             : draw < 0.6  ? Targets{"X04", "O18"}
             : draw < 0.75 ? Targets{"X04", "E14"}
             : draw < 0.9  ? Targets{"E07", "O18"}
                           : Targets{"O22"};
    default:
      return draw < 0.4    ? Targets{"O22"}
             : draw < 0.6  ? Targets{"O22", "E19"}
             : draw < 0.85 ? Targets{"X04"}
                           : Targets{"E14", "X04"};
  }
}

/// A day of the month, weekends three times of four.
Date some_day(int year, unsigned month, Date last, base::Random& random) {
  for (;;) {
    const Date date = base::plus_days(make_date(year, month, 1), random.integer(0, 30));
    if (base::month_of(date) != month || date > last) continue;
    const std::chrono::weekday weekday{date};
    const bool weekend = weekday == std::chrono::Saturday || weekday == std::chrono::Sunday;
    if (weekend || random.chance(0.13)) return date;
  }
}

}  // namespace

std::vector<Errand> make_calendar(std::uint64_t seed) {
  base::Random random(seed);
  std::map<Date, Errand> errands;
  const auto put = [&](Date date, Targets targets, bool elm) {
    errands[date] = {date, std::move(targets), elm};
  };
  put(make_date(2023, 5, 21), {"E01"}, true);
  put(make_date(2023, 10, 15), {"X04"}, false);
  put(make_date(2024, 4, 27), {"E01"}, false);
  put(make_date(2024, 5, 25), {"E01"}, true);
  put(make_date(2024, 10, 13), {"X04"}, false);
  put(make_date(2024, 12, 8), {"O22"}, false);
  put(make_date(2025, 5, 17), {"E01"}, true);
  put(make_date(2026, 5, 16), {"E01"}, true);
  put(make_date(2026, 5, 30), {"E01"}, true);
  const Date last = make_date(2026, 11, 22);
  for (int year : {2025, 2026})
    for (unsigned month = 1; month <= 12; ++month) {
      // December 2026 is not yet: its outings fall into the autumn.
      const unsigned in_month = year == 2026 && month == 12 ? 10 : month;
      for (int k = 0; k < kByMonth[month - 1]; ++k) {
        Date date = some_day(year, in_month, last, random);
        while (errands.count(date)) date = some_day(year, in_month, last, random);
        put(date, targets_in(in_month, random), false);
      }
    }
  std::vector<Errand> in_order;
  for (auto& [date, errand] : errands) in_order.push_back(std::move(errand));
  return in_order;
}

}  // namespace stumpwise::demo
