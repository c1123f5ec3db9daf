#pragma once
/// Sun, sky, array, bank, time and the simulation of all of them.

#include "nightbus/energy_answers.hpp"
#include "nightbus/energy_array.hpp"
#include "nightbus/energy_bank.hpp"
#include "nightbus/energy_simulation.hpp"
#include "nightbus/energy_sizing.hpp"
#include "nightbus/energy_sky.hpp"
#include "nightbus/energy_sun.hpp"
#include "nightbus/energy_time.hpp"
