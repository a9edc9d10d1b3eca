// A piece as taken in: parts, faces, zones, what it is made of and what could hurt. Lengths in mm, areas in m².
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "catalog/finding.h"
#include "shape/draw.h"
#include "shape/shape.h"

namespace tackcloth::piece {

enum class PartKind {
  box,
  panel,
  frame,
  door,
  drawer,
  straight_leg,
  tapered_leg,
  turned_leg,
  rail,
  moulding,
  hardware,
  fabric_panel
};
enum class Material { solid_wood, veneer, laminate, metal, fabric, board };
enum class Existing {
  bare,
  unknown,
  shellac,
  lacquer,
  varnish,
  oil,
  wax,
  paint_oil,
  paint_water,
  laminate,
  bare_metal
};
enum class Treatment { keep, clear, stain_and_clear, paint, paint_inside, metal_spray, fabric, oil, wax, none };

struct Substrate {
  Material material = Material::solid_wood;
  std::string species;              // id, empty when not wood or unknown
  std::optional<double> veneer_um;  // unknown: taken as thin (see veneer budget)
};

enum class ZoneForm { whole, half_circle, arch, circle, band, polygon, rest, rounded, stripe, border };

struct Zone {
  std::string id;
  std::string face;  // name of the face it lies on: "front", "top", "inside", "all", ...
  ZoneForm form = ZoneForm::whole;
  shape::Region region;  // empty for whole faces that are not planar (legs)
  Treatment treatment = Treatment::keep;
  std::string product;                         // asked for by id; empty: the finish search chooses
  std::string color;                           // the owner's word for it
  int coats = 0;                               // 0: as the product needs
  std::vector<std::string> wanted;             // product ids in order, when the owner insists on a whole build-up
  double from_mm = 0, height_mm = 0;           // bands: from the bottom edge of the face, or from the foot of a leg;
                                               // borders: from the edge of the face inwards, and width
  double area_m2 = 0;                          // of all `count` parts, filled by measure()
  double tape_mm = 0;                          // tape line against other zones, all parts, filled by measure()
  int line = 0, column = 0;                    // in the job file
  shape::Point on;                             // stripes: a point of the middle line,
  double angle_deg = 0, width_mm = 0;          // its angle from level, counter-clockwise, and the width
  shape::Mirror mirror = shape::Mirror::none;  // drawn forms: joined with its image about the face's centre line
};

struct Face {
  std::string name;
  double width_mm = 0, height_mm = 0;  // bounding size of a planar face
  double area_m2 = 0;                  // of all `count` parts
  shape::Region region;                // planar faces, left bottom corner at (0, 0); empty for round ones
  bool hidden = false;                 // never finished: against a wall, inside a joint
  bool vertical = true;                // as it stands while it dries
};

struct Part {
  std::string id;
  PartKind kind = PartKind::panel;
  int count = 1;  // alike parts measured once (4 legs)
  double width_mm = 0, height_mm = 0, depth_mm = 0;
  double frame_width_mm = 0;  // frames: width of the member
  double top_diameter_mm = 0, foot_diameter_mm = 0;
  std::vector<shape::ProfileEdge> profile;  // turned legs: from the top; first point is the start
  double girth_mm = 0;                      // mouldings: developed width
  double wall_mm = 0;                       // boxes and drawers: thickness of the boards, for the inside
  bool square = false;                      // tapered legs: square section, the diameters are widths across flats
  std::optional<double> given_area_m2;      // hardware of odd shape: area of one, measured or judged
  Substrate substrate;
  Existing existing = Existing::unknown;
  std::vector<std::string> hidden_faces;
  std::vector<std::string> damage;  // words: "scratches", "white rings", "loose joint", "missing veneer", ...
  bool has_wiring = false;
  bool old_glue = false;
  bool stubborn_finish = false;  // thick or gummy: start coarser
  bool grimy = true;
  bool sand = true;         // zones may be sanded at all
  std::vector<Face> faces;  // filled by measure()
  std::vector<Zone> zones;
  int line = 0, column = 0;  // in the job file
};

struct Piece {
  std::string id, name, owner;
  std::optional<int> year;                 // nothing: unknown age
  std::string origin;                      // words, may be empty
  std::optional<bool> lead_test_negative;  // nothing: not tested
  std::vector<Part> parts;
  std::vector<std::string> two_person_steps;  // "take_apart", "put_back", "carry", ...
  double footprint_m2 = 0;                    // resting place it needs while drying
  int resting_units = 1;                      // how many resting places it takes
};

// Faces by kind of part. Coordinates on a face: x to the right, y up, from its left bottom corner, as it is looked at.
//   box            front back left right top bottom inside (five boards: the front is open or a part of its own)
//   drawer         front back left right bottom inside (floor and four walls, no lid)
//   panel, door    front back edges (the four narrow sides unrolled, one after the other)
//   frame          front back (each with the opening left out) edges (outside) inner_edges
//   legs           side (all around, unrolled from the foot up) foot (stands on the floor: always hidden)
//   rail           front back top bottom (the ends are in their joints)
//   moulding       front (length x girth)
//   hardware       front (the given area, or a box without the side that lies against the piece)
//   fabric_panel   front
// The back of a panel is a visible face until it is listed as hidden: a top is finished on both sides.
std::vector<std::string> face_names(PartKind kind);

// Faces, areas, zone areas and tape lines of every part. A zone on face "all" with form whole covers every visible
// face, with form rest every visible face less the zones on it. Problems: sizes that are missing or cannot be, zones
// that overlap, leave their face or lie on a hidden one, a "rest" zone with nothing left. All of them at once.
Results<Piece> measure(Piece piece);

// What sanding may take, µm: half the veneer left for a face that may be cut through once; unknown veneer is taken as
// 500 µm (thin modern veneer, from memory); laminate as 50 µm (its print lies just under the overlay, from memory);
// fabric 0; the rest has no limit (infinity).
double sanding_budget_um(const Part& part);

// Lead, wiring, unknown finish, thin veneer: cautions that hold before any work is chosen.
std::vector<catalog::Finding> hazards(const Piece& piece);

// True while lead has not been ruled out: made before 1978 (US ban, 16 CFR 1303) or of unknown age, and not bare.
bool lead_possible(const Piece& piece);

std::string to_text(PartKind kind);
std::string to_text(Material material);
std::string to_text(Existing existing);
std::string to_text(Treatment treatment);
std::string to_text(ZoneForm form);

}  // namespace tackcloth::piece
