// Answers by the FCL library at which poses a gun touches a mesh. Standard input is binary, little-endian: the number of
// triangles (int64) and nine coordinates each (double); the number of guns; for each gun the bodies that do not turn, then
// the number of its poses, then the bodies of each. A list of bodies is their number, and for each its kind (double: 0
// capsule, 1 cylinder, 2 box), place (3), the columns of its turn (9) and size (3): radius and length of capsules and
// cylinders, which lie along z, half sizes of boxes. Writes a 0 or 1 for every pose, a line for every gun, and then the
// seconds of processor time that building the tree and answering took. Called with "distance" it writes, instead of a 0,
// the distance of the pose from the mesh, and instead of a 1 a zero, all with a space behind.
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/geometry/shape/box.h>
#include <fcl/geometry/shape/capsule.h>
#include <fcl/geometry/shape/cylinder.h>
#include <fcl/narrowphase/collision.h>
#include <fcl/narrowphase/distance.h>

#include <cstdint>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <limits>
#include <memory>
#include <string>
#include <vector>

double seconds() { return double(std::clock()) / CLOCKS_PER_SEC; }

template <class T> T take() {
  T v;
  if (!std::cin.read(reinterpret_cast<char *>(&v), sizeof v)) {
    std::cerr << "the input ends too early\n";
    std::exit(1);
  }
  return v;
}

fcl::Vector3d vector() {
  double x = take<double>(), y = take<double>();
  return {x, y, take<double>()};
}

struct Body {
  std::shared_ptr<fcl::CollisionGeometryd> shape;
  fcl::Transform3d at;
};

Body body() {
  Body b;
  double kind = take<double>();
  b.at = fcl::Transform3d::Identity();
  b.at.translation() = vector();
  for (int k = 0; k < 3; k++) b.at.linear().col(k) = vector();
  fcl::Vector3d size = vector();
  if (kind == 0) b.shape = std::make_shared<fcl::Capsuled>(size[0], size[1]);
  else if (kind == 1) b.shape = std::make_shared<fcl::Cylinderd>(size[0], size[1]);
  else b.shape = std::make_shared<fcl::Boxd>(2 * size[0], 2 * size[1], 2 * size[2]);
  b.shape->computeLocalAABB();
  return b;
}

std::vector<Body> bodies() {
  std::vector<Body> all(take<int64_t>());
  for (auto &b : all) b = body();
  return all;
}

struct Gun {
  std::vector<Body> fixed;
  std::vector<std::vector<Body>> poses;
};

int main(int argc, char **argv) {
  const bool measure = argc > 1 && std::string(argv[1]) == "distance";
  std::ios::sync_with_stdio(false);
  std::vector<fcl::Vector3d> points(3 * take<int64_t>());
  std::vector<fcl::Triangle> triangles;
  for (auto &p : points) p = vector();
  for (size_t i = 0; i + 2 < points.size(); i += 3) triangles.emplace_back(i, i + 1, i + 2);
  std::vector<Gun> guns(take<int64_t>());
  for (auto &g : guns) {
    g.fixed = bodies();
    g.poses.resize(take<int64_t>());
    for (auto &p : g.poses) p = bodies();
  }

  double start = seconds();
  fcl::BVHModel<fcl::OBBRSSd> mesh;
  mesh.beginModel();
  mesh.addSubModel(points, triangles);
  mesh.endModel();
  mesh.computeLocalAABB();
  double built = seconds();

  const fcl::CollisionRequestd request(1, false);
  const fcl::Transform3d here = fcl::Transform3d::Identity();
  auto touches = [&](const std::vector<Body> &all) {
    for (auto &b : all) {
      fcl::CollisionResultd result;
      if (fcl::collide(&mesh, here, b.shape.get(), b.at, request, result) > 0) return true;
    }
    return false;
  };
  const fcl::DistanceRequestd near(false);
  auto distance = [&](double least, const std::vector<Body> &all) {
    for (auto &b : all) {
      fcl::DistanceResultd result;
      least = std::min(least, fcl::distance(&mesh, here, b.shape.get(), b.at, near, result));
    }
    return least;
  };
  std::string answer;
  for (auto &g : guns) {
    bool always = touches(g.fixed);
    double fixed = measure && !always ? distance(std::numeric_limits<double>::infinity(), g.fixed) : 0;
    for (auto &p : g.poses) {
      bool touching = always || touches(p);
      if (measure) answer += std::to_string(touching ? 0 : distance(fixed, p)) + ' ';
      else answer += touching ? '1' : '0';
    }
    answer += '\n';
  }
  double done = seconds();
  std::cout << answer << built - start << '\n' << done - built << '\n';
}
