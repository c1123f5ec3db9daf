#pragma once
/// Moved: protection judges runs in the same context.

#include "nightbus/wiring_context.hpp"
