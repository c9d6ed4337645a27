// Answers pairing questions with LEMON 1.3.1 (Boost licence, https://lemon.cs.elte.hu), for comparison.
//
// Standard input: any number of questions "mode n" followed by n(n-1)/2 pairs "mismatch cost", row
// after row of the upper triangle, -1 -1 for a pair that may not be formed. Answers, one a line:
// "count worst sum seconds", seconds being the processor time of the matching alone.
//   full  all pairs may be formed, n is even: FullGraph, MaxWeightedPerfectMatching, least sum
//   sum   most pairs, then least sum: SmartGraph, MaxWeightedMatching of BIG - cost
//   worst most pairs, then least largest mismatch (MaxMatching, halving), then least sum
#include <lemon/full_graph.h>
#include <lemon/matching.h>
#include <lemon/smart_graph.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <vector>

using namespace lemon;
typedef long long num;

struct Pair {
  int u, v;
  num mismatch, cost;
};

static double seconds() { return double(clock()) / CLOCKS_PER_SEC; }

static int largest(int n, const std::vector<Pair> &pairs, num limit) {
  SmartGraph g;
  std::vector<SmartGraph::Node> node;
  for (int i = 0; i < n; i++) node.push_back(g.addNode());
  for (const Pair &p : pairs)
    if (p.mismatch <= limit) g.addEdge(node[p.u], node[p.v]);
  MaxMatching<SmartGraph> m(g);
  m.run();
  return m.matchingSize();
}

static void some(int n, const std::vector<Pair> &pairs, num limit) {
  SmartGraph g;
  std::vector<SmartGraph::Node> node;
  for (int i = 0; i < n; i++) node.push_back(g.addNode());
  SmartGraph::EdgeMap<num> weight(g);
  std::vector<const Pair *> of;
  num top = 0;
  for (const Pair &p : pairs) top = std::max(top, p.cost);
  num big = (top + 1) * (n / 2 + 1);
  for (const Pair &p : pairs)
    if (p.mismatch <= limit) {
      weight[g.addEdge(node[p.u], node[p.v])] = big - p.cost;
      of.push_back(&p);
    }
  double t = seconds();
  MaxWeightedMatching<SmartGraph, SmartGraph::EdgeMap<num> > m(g, weight);
  m.run();
  t = seconds() - t;
  num sum = 0, worst = 0;
  int count = 0;
  for (SmartGraph::EdgeIt e(g); e != INVALID; ++e)
    if (m.matching(e)) {
      const Pair *p = of[g.id(e)];
      count++;
      sum += p->cost;
      worst = std::max(worst, p->mismatch);
    }
  printf("%d %lld %lld %.6f\n", count, worst, sum, t);
}

static void full(int n, const std::vector<Pair> &pairs) {
  FullGraph g(n);
  FullGraph::EdgeMap<num> weight(g);
  for (const Pair &p : pairs) weight[g.edge(g(p.u), g(p.v))] = -p.cost;
  double t = seconds();
  MaxWeightedPerfectMatching<FullGraph, FullGraph::EdgeMap<num> > m(g, weight);
  m.run();
  t = seconds() - t;
  num sum = 0, worst = 0;
  int count = 0;
  for (const Pair &p : pairs)
    if (m.matching(g.edge(g(p.u), g(p.v)))) {
      count++;
      sum += p.cost;
      worst = std::max(worst, p.mismatch);
    }
  printf("%d %lld %lld %.6f\n", count, worst, sum, t);
}

int main() {
  char mode[16];
  int n;
  while (scanf("%15s %d", mode, &n) == 2) {
    std::vector<Pair> pairs;
    std::vector<num> values;
    for (int i = 0; i < n; i++)
      for (int j = i + 1; j < n; j++) {
        Pair p = {i, j, 0, 0};
        if (scanf("%lld %lld", &p.mismatch, &p.cost) != 2) return 1;
        if (p.mismatch < 0) continue;
        pairs.push_back(p);
        values.push_back(p.mismatch);
      }
    num limit = 0;
    if (!values.empty()) limit = *std::max_element(values.begin(), values.end());
    if (!strcmp(mode, "full")) {
      full(n, pairs);
    } else {
      if (!strcmp(mode, "worst") && !values.empty()) {
        std::sort(values.begin(), values.end());
        int most = largest(n, pairs, limit);
        size_t lo = 0, hi = values.size() - 1;
        while (lo < hi) {
          size_t mid = (lo + hi) / 2;
          if (largest(n, pairs, values[mid]) == most) hi = mid;
          else lo = mid + 1;
        }
        limit = values[lo];
      }
      some(n, pairs, limit);
    }
    fflush(stdout);
  }
  return 0;
}
