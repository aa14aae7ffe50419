#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "stumpwise/key/matrix.h"

namespace stumpwise::bench {

/// One body whose species is known: a reading of every character, and an order in which they come.
struct Specimen {
  std::size_t taxon = 0;
  std::vector<key::Evidence> readings;
  std::vector<std::size_t> order;
};

/// Fresh specimens as the README of the open matrix draws its own: species evenly, states evenly from the
/// recorded ones (from all of the column where nothing is recorded), numbers normal and not below 0, each
/// then misread with the given rate (another state, or evenly over [0, range]). Characters are independent.
std::vector<Specimen> simulate(const key::Matrix& matrix, int n, std::uint64_t seed, double misread);

/// "id,species_row,species,class,order," and a column per character; order names the characters, blanks
/// between.
Parsed<std::vector<Specimen>> read_specimens(const key::Matrix& matrix, const std::string& path);

/// Taxa without meaning for timing: 60 characters of 6 states, one or two states each, half dangerous.
key::Matrix invented_matrix(int taxa);

}  // namespace stumpwise::bench
