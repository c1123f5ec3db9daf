#pragma once
// Turns what the folder left into index lists.
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "network/folder.hpp"

namespace nightbus::network_detail {

class Planner {
 public:
  Planner(const Description& d, const Net& net, std::span<const double> values,
          std::span<const double> node_v, Folder& folder)
      : d_(d), net_(net), values_(values), node_v_(node_v), folder_(folder) {}

  Program plan();

 private:
  void number_unknowns();
  struct Place {
    Index u = 0, w = 0;
  };
  Place raw_place(Index pair, Index a, Index b) const;
  Index x_of(Index raw) const { return raw < p_.unknowns ? elimination_.position[raw] : raw; }
  Place place(Index pair, Index a, Index b) const;

  Place converter_place(Index a, Index b) const;
  Place raw_converter_place(Index a, Index b) const;
  void order();
  Index entry(Index i, Index j) const {  // lower entry of x positions; none when known or equal
    if (i >= p_.unknowns || j >= p_.unknowns || i == j) return none;
    const Index column = std::min(i, j);
    const Index row = std::max(i, j);
    const auto first = elimination_.rows.begin() + elimination_.starts[column];
    const auto last = elimination_.rows.begin() + elimination_.starts[column + 1];
    return static_cast<Index>(std::lower_bound(first, last, row) - elimination_.rows.begin());
  }

  void mark_unsymmetric();

  Index off(Index i, Index j) const;
  Index shared_off(Index i, Index j) const { return off(std::max(i, j), std::min(i, j)); }

  Range pool(const Chain& chain);
  Range pool_both(const Chain& chain, const Chain& back);
  Range pool_rows(const std::vector<Index>& rows);
  void place_links();
  Index first_column(Place at) const;
  void place_ports();
  Index port_at(Place at) const;
  LoadClass class_of(const Edge& edge) const;
  void leaf_rows(const Edge& edge, Index item, Place at, Range chain, std::vector<LeafRows>& list);
  void place_loads();
  void place_sources();
  void place_branches();
  void place_converters();
  void place_rows();
  void give_to_columns();

  void set_tolerances();
  const Description& d_;
  const Net& net_;
  std::span<const double> values_, node_v_;
  Folder& folder_;
  Program p_;
  Elimination elimination_;
  std::vector<Index> raw_of_row_, link_of_pair_;
  std::map<Index, std::pair<Index, bool>> pair_of_row_;
  std::map<std::pair<Index, Index>, Index> port_index_;
};

}  // namespace nightbus::network_detail
