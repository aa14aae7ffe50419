#include "stumpwise/picture/map.h"

#include <fmt/format.h>

#include "scene.h"
#include "stumpwise/base/text.h"

namespace stumpwise::picture {

std::string map_svg(const MapContent& content, const MapStyle& style) {
  const Scene scene = make_scene(content, style);
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "
      "version=\"1.1\" "
      "viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\" font-family=\"sans-serif\" role=\"img\">\n",
      scene.width, scene.height);
  svg += "<title>" + base::escape_markup(base::printable(content.title.empty() ? "Map" : content.title)) +
         "</title>\n";
  // Vectors may reach past the land shown (a line's way out of the frame): the clip keeps them on the map.
  svg += fmt::format("<clipPath id=\"map-frame\"><rect width=\"{}\" height=\"{}\"/></clipPath>\n",
                     scene.width, scene.height);
  svg += fmt::format("<image width=\"{}\" height=\"{}\" xlink:href=\"data:image/png;base64,", scene.width,
                     scene.map_height);
  svg += base64(encode_png(scene.base)) + "\"/>\n<g clip-path=\"url(#map-frame)\">\n";
  draw_scene(*svg_canvas(svg), scene);
  return svg + "</g>\n</svg>\n";
}

Image map_image(const MapContent& content, const MapStyle& style) {
  const Scene scene = make_scene(content, style);
  Image image(scene.width, scene.height, {255, 255, 255, 255});
  for (int y = 0; y < scene.map_height; ++y)
    for (int x = 0; x < scene.width; ++x) image.set(x, y, scene.base.at(x, y));
  draw_scene(*pixel_canvas(image), scene);
  return image;
}

}  // namespace stumpwise::picture
