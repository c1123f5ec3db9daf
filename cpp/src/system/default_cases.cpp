#include "nightbus/system.hpp"

namespace nightbus {

std::vector<Case> default_cases() {
  const auto make = [](const char* name, const char* note, BankState bank, Demand demand,
                       Ambient ambient) {
    Case entry;
    entry.name = name;
    entry.note = note;
    entry.bank = bank;
    entry.demand = demand;
    entry.ambient = ambient;
    return entry;
  };
  return {
      make("low, typical, hot", "four in the morning after a hot day, fans on", BankState::low,
           Demand::typical, Ambient::hot),
      make("low, peak, hot", "everything busy on a low bank in the heat", BankState::low,
           Demand::peak, Ambient::hot),
      make("low, peak, cold", "everything busy on a low, cold bank", BankState::low, Demand::peak,
           Ambient::cold),
      make("rest, typical, mild", "an ordinary evening", BankState::rest, Demand::typical,
           Ambient::mild),
      make("charging, rest, cold", "highest voltage: full charge, little draw, a cold day",
           BankState::charging, Demand::rest, Ambient::cold),
      make("charging, peak, hot", "highest voltage with everything busy in the heat",
           BankState::charging, Demand::peak, Ambient::hot),
  };
}

}  // namespace nightbus
