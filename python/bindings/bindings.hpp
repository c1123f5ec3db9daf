#pragma once
/// One function per area, each in its own bind_<area>.cpp: conversion only, no logic.

#include <pybind11/pybind11.h>
