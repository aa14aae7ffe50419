#pragma once
#include "stumpwise/key/matrix.h"
#include "stumpwise/key/observation.h"

namespace stumpwise::key {

/// The profiles as a matrix, taxa and characters in the library's order. Numbers are normal around the middle
/// of the usual range, a quarter of its width for the spread (at least a twentieth of the mean and of the
/// step of the vocabulary's limits). A character that does not apply to a taxon (tubes where there are no
/// pores) counts as not recorded. Day of the year and age stage name nobody: they are never recorded here.
Matrix profile_matrix(const species::Library& library);

/// Readings as evidence on that matrix, whose characters stand in the order of the library. What only gates
/// (C44, C45) is left out.
std::vector<Evidence> evidence_of(const species::Library& library, const std::vector<Observation>& readings,
                                  Experience experience);

/// Whether the character can apply, as far as the readings tell: gill spacing does not where pores were read.
bool applies(const species::Character& row, const std::vector<Observation>& readings);

}  // namespace stumpwise::key
