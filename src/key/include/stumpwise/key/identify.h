#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/key/chooser.h"
#include "stumpwise/key/gate.h"
#include "stumpwise/key/posterior.h"

namespace stumpwise::key {

/// Of a piece. The fourth, confirmed, is another person's word and stands in the book.
enum class Standing { unresolved, candidate, doubles_contradicted };
std::string standing_name(Standing standing);

/// What is asked of the key.
struct Question {
  std::vector<Observation> readings;  ///< current ones
  std::vector<std::string> regions;   ///< codes; empty: not known
  std::vector<double> prior;          ///< over the profiles, any scale; empty: even. Ranks names, never gates
  Experience experience = Experience::trained;
  std::string name;  ///< the profile asked about; empty: the likeliest that is gathered
  std::size_t most_next = 8;
};

struct NamedShare {
  std::string id, name;
  double posterior = 0;
};

/// One character that could be looked at.
struct Advice {
  std::string character, name, action;
  double minutes = 0;      ///< with the print that spores need, where there is none yet
  double loss_drop = 0;    ///< expected, see identify.cpp
  int settles = 0;         ///< dangers that a typical reading would bring to two evidence groups
  int speaks_against = 0;  ///< dangers that it would contradict, the first group included
  bool must_see = false;
  std::string why;
};

/// Readings that do not go together.
struct Clash {
  std::vector<std::string> characters;
  std::string text;
};

struct Answer {
  Standing standing = Standing::unresolved;
  std::string name;               ///< profile that the gate was asked for; empty: none can be named
  GateResult gate;                ///< of that name; without a name every danger of the region is undefeated
  std::vector<NamedShare> names;  ///< likeliest first, dangerous ones among them
  double none_of_these = 0;
  std::vector<Advice> next;
  std::vector<Clash> clashes;
};

/// The key over one library, which must outlive it. Everything that does not depend on readings is made once.
class Key {
 public:
  explicit Key(const species::Library& library);
  Answer answer(const Question& question) const;
  const Gate& gate() const { return gate_; }

 private:
  std::vector<double> shares(const Question& question) const;
  std::string lead(const std::vector<double>& shares) const;
  Standing standing(const Question& question, const std::vector<double>& shares, const Answer& answer) const;

  const species::Library& library_;
  Gate gate_;
  Chooser chooser_;
};

/// Readings that no profile has together, two by two, and readings that no profile has at all.
std::vector<Clash> clashes(const species::Library& library, const std::vector<Observation>& readings);

}  // namespace stumpwise::key
