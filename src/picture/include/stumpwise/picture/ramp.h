#pragma once
#include <string>
#include <vector>

#include "stumpwise/picture/image.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::picture {

/// One step of the prospect's legend: expected finds per hectare from `from` up to the next step's.
struct RampStep {
  double from_per_ha = 0;
  Colour colour;
  std::string label;  ///< "0.5 to 1"
};

/// Colours for expected finds per hectare. Seven classes whose limits rise by 1, 2, 5; below the lowest
/// nothing is drawn. Each class is darker than the one below (CIE lightness falls evenly from pale straw to
/// deep plum, and blue rises against yellow, the axis that red-green colour blindness leaves), so the order
/// can be read without hue, in grey print and in sunlight.
class Ramp {
 public:
  /// `highest_per_ha`: what the topmost class should reach, commonly the 98th percentile of the map; at least
  /// 0.001.
  explicit Ramp(double highest_per_ha);
  /// From the map itself: 98th percentile of its values above zero.
  static Ramp for_grid(const raster::Grid& finds_per_ha);
  const std::vector<RampStep>& legend() const { return steps_; }
  /// Transparent below the lowest class and for NaN.
  Colour colour(double finds_per_ha) const;

 private:
  std::vector<RampStep> steps_;
};

/// CIE 1976 lightness L*, 0 to 100, of an opaque sRGB colour (IEC 61966-2-1, D65).
double lightness(Colour colour);

/// One pixel a cell. Where `extrapolated` (same cells; may be null) is not 0, every pixel on diagonal hatch
/// lines is drawn dark grey, so that what is known and what is guessed differ by more than colour; hatched
/// cells without prospect stay clear.
Image prospect_image(const raster::Grid& finds_per_ha, const raster::Grid* extrapolated, const Ramp& ramp);
/// Water blue with a ripple of darker pixels, walls as grey crosshatch; clear where `wall` is 0. `water` may
/// be null.
Image barrier_image(const raster::Grid& wall, const raster::Grid* water);

}  // namespace stumpwise::picture
