#pragma once
// What folding takes away and what it leaves; rules at the head of fold.cpp.
#include <cstdint>
#include <span>
#include <vector>

#include "network/equations.hpp"
#include "network/program.hpp"

namespace nightbus::network_detail {

struct Chain {  // from an outer row inwards: slots[i] leads to rows[i] (the last row may be
                // missing)
  std::vector<ChainPart> parts;
  std::vector<Index> rows;
};

enum class EdgeKind : std::uint8_t { link, load, source, branch, port, child };

struct Edge {
  EdgeKind kind{};
  bool alive = true;
  Index a = 0, b = 0;    // outer rows now
  Index element = none;  // or pair of a child edge
  Chain chain;           // link: a to b without the ends; load, source: from a inwards
  Chain back;            // load, source: from b inwards
  Index pair = none;     // pair that swallowed it
};

struct Pair {
  Index p = 0, n = 0, up = 0, un = 0;
  Chain plus, minus;   // from up to p, from un to n
  Index owner = none;  // pair its child edge was swallowed by
};

class Folder {
 public:
  Folder(const Description& d, const Net& net, std::span<const double> values)
      : d_(d), net_(net), values_(values), at_(net.rows), gone_(net.rows, 0) {}

  void run();
  std::vector<Edge> edges;
  std::vector<Pair> pairs;
  std::vector<RowCopy> dangling;
  bool gone(Index row) const { return gone_[row] != 0; }

 private:
  Edge& add(EdgeKind kind, Index a, Index b, Index element);
  void collect();
  bool unknown(Index row) const { return row < net_.unknowns; }
  Index other(Index e, Index row) const { return edges[e].a == row ? edges[e].b : edges[e].a; }
  std::vector<Index>& live(Index row);
  void again(Index row);

  bool touch(Index row);
  void drop_dangling(Index row, Index link);
  void join_series(Index row, Index e, Index f);
  bool absorbs(Index e) const;
  void absorb(Index row, Index link, Index e);

  Index way_out(Index row, Index mate);
  void try_pair(Index p);
  bool fold_pair(Index p, Index n);
  bool fold_pair_oriented(Index p, Index n, Index plus, Index minus, Index up, Index un);
  const Description& d_;
  const Net& net_;
  std::span<const double> values_;
  std::vector<std::vector<Index>> at_;
  std::vector<std::uint8_t> gone_;
  std::vector<Index> queue_, pair_queue_;
};

}  // namespace nightbus::network_detail
