// The light of a photo put right by a grey card or a chart that lies in the picture.
#pragma once

#include <string>

#include "job/job.h"
#include "picture/chart.h"
#include "picture/image.h"
#include "units/result.h"

namespace tackcloth::look {

struct Light {
  picture::Calibration calibration;  // of picture::corrected; one to one when nothing is known
  bool known = false;
  std::string note;  // by what, where it was found, and how far to trust it
};

// `photo` as taken, at its full size: corners and places count in its pixels. What is not surely found leaves the photo
// as it is and says so: a wrong card would spoil every colour.
Light light_of(const picture::Image& photo, const job::Photo& said);

}  // namespace tackcloth::look
