#include "habits.h"

namespace stumpwise::demo {

const std::vector<Habit>& habits() {
  // clang-format off
  // species, where; substrate, begin, season, mean of 7 days from and to, rain in days, delay, seen, chance, flushes, pieces, cap, sd, sight
  static const std::vector<Habit> kHabits{
      {"E02", {{kElmAsh, "Ulmus", 1.1}, {kOrchard, "Malus", 9.4}},
       "ground under a tree", 4, 14, 45, 9, 17, 12, 7, 4, 9, 9, 16, 0.5, 1, 4, 45, 12, 4},
      {"E05", {{kOakBeech, "Quercus", 1.0}, {kElmAsh, "Salix", 0.42}},
       "living trunk", 5, 25, 110, 13, 24, 14, 10, 5, 12, 15, 30, 0.5, 1, 3, 180, 50, 18},
      {"E07", {{kOakBeech, "Quercus", 0.80}},
       "foot of a tree", 9, 1, 50, 9, 17, 25, 14, 6, 14, 10, 18, 0.55, 1, 1, 260, 80, 10},
      {"E10", {{kOakBeech, "Fagus", 2.2}, {kSpruceHemlock, "Picea", 1.3}, {kBeechSpruce, "Picea", 1.6}},
       "ground in moss", 6, 25, 95, 12, 22, 30, 14, 6, 14, 14, 28, 0.55, 2, 9, 48, 14, 5},
      {"E14", {{kSpruceHemlock, "Picea", 2.0}, {kBeechSpruce, "Picea", 1.1}},
       "moss over rotten wood", 9, 10, 65, 4, 14, 28, 14, 8, 16, 20, 35, 0.6, 1, 14, 35, 10, 4},
      {"E19", {{kBeechAshMaple, "Fagus", 1.6}, {kBirchPoplar, "Populus", 3.1}, {kOakBeech, "Fagus", 0.86}, {kAlderWillow, "Salix", 1.8}},
       "fallen trunk", 10, 10, 170, 2, 9, 12, 8, 7, 14, 15, 30, 0.55, 2, 7, 85, 25, 9},
      {"O18", {{kBeechAshMaple, "Fagus", 1.9}, {kOakBeech, "Quercus", 1.9}, {kSpruceHemlock, "Picea", 0.75}, {kBirchPoplar, "Betula", 2.2}},
       "stump", 9, 12, 45, 6, 15, 22, 12, 7, 14, 9, 18, 0.6, 1, 20, 75, 20, 8},
      {"O22", {{kElmAsh, "Ulmus", 3.0}, {kBirchPoplar, "Populus", 2.2}, {kBeechAshMaple, "Fagus", 0.55}, {kAlderWillow, "Salix", 2.8}},
       "stump", 10, 18, 140, -0.5, 8.5, 10, 8, 7, 15, 18, 34, 0.8, 3, 11, 38, 12, 6},
      {"X04", {{kSpruceHemlock, "Picea", 3.6}, {kBeechSpruce, "Fagus", 2.7}, {kBeechAshMaple, "Fagus", 0.80}, {kBirchPoplar, "Betula", 1.3}},
       "rotten log", 9, 8, 75, 4.5, 14.5, 24, 12, 7, 14, 14, 26, 0.75, 2, 9, 27, 8, 5},
      {"X09", {{kSpruceHemlock, "Picea", 0.48}},
       "ground in moss", 8, 25, 45, 9, 17, 30, 14, 7, 14, 10, 18, 0.5, 1, 2, 50, 12, 4},
      {"X23", {{kOakBeech, "Quercus", 0.50}},
       "stump", 8, 20, 55, 12, 20, 22, 12, 6, 12, 10, 18, 0.5, 1, 18, 90, 25, 12},
  };
  // clang-format on
  return kHabits;
}

}  // namespace stumpwise::demo
