// The numbers of the genetic search, set on a part of PSPLIB (Kolisch & Sprecher 1997).
#pragma once

#include <cstdint>

namespace tackcloth::calendar {

// How a child's keys are made; see plain_cross.h. The shares need not sum to 1.
struct PlainShares {
  double gain = 0.6;       // the stretch in which the father gets most more done than a mother, in her order
  double cut = 0.15;       // father up to a moment, then the mother's order
  double best_cut = 0.15;  // the same where the father is furthest ahead of a mother
  double blend = 0.1;      // starts in between
  double shake = 0.05;     // the father, one stretch shaken
  double shift = 0.1;      // the father, one to three activities put elsewhere
  double rule = 0.1;       // the father, drawn towards the longest tail first
};

struct PlainTuning {
  int population = 22;
  double apart = 0;  // steps an activity, on average: members of about the same makespan closer than that are one kind
  int first_passes = 2;       // schedules a newcomer
  double first_packed = 1;    // share of newcomers built by the packing scheme
  double first_noise = 0.35;  // random part of a newcomer's keys, as a share of the critical path
  double first_work = 1;      // weight of the resource-based tail beside the path, at most
  PlainShares share;
  int passes = 3;             // schedules a child at most: justified to and fro while it gets no worse
  int slack = 3;              // and while it is no more than this many steps longer than its father
  double packed_whole = 0;    // share of children whose first pass is by the packing scheme
  double packed = 0.8;        // and of those where it packs a stretch of the list
  double packed_least = 0.1;  // shortest and longest such stretch, as a share of the list
  double packed_most = 0.5;
  int packed_at_most = 60;  // and in activities
  double choose = 2;        // draws from the sorted population a parent, the best of them counts
  double least = 0.25;      // shortest and longest stretch crossed, as a share of the makespan
  double most = 0.75;
  int mothers = 8;           // looked at for the best gain or cut
  double stretch = 0.3;      // longest stretch shaken
  double scarce = 1;         // power of a resource's load in its weight
  double stray = 0;          // share of single keys moved afterwards
  double stray_reach = 0.1;  // by at most this share of the makespan
  double urgency = 2;        // of the first in the list against the use of resources, when packing
  bool adaptive = false;     // shares follow how often each way has given a child shorter than its father
  double patience = 2;       // populations of children in vain before all but the best start anew
};

// For a project of `size` activities and a budget of schedules.
PlainTuning plain_tuning(int size, std::int64_t budget);

}  // namespace tackcloth::calendar
