// Answers by the FCL library whether bodies touch a mesh. Reads from standard input, as text: the number of
// triangles and nine coordinates each; the number of bodies, and for each "capsule ax ay az bx by bz radius" or
// "box cx cy cz turn hx hy hz", turned by so many radians about z, with half sizes. Writes 0 or 1 for each, then
// the seconds that the answers took.
#include <chrono>
#include <iostream>
#include <string>
#include <vector>

#include <fcl/fcl.h>

using V = fcl::Vector3d;

int main() {
  size_t n;
  std::cin >> n;
  std::vector<V> points(3 * n);
  std::vector<fcl::Triangle> triangles;
  for (auto &p : points) std::cin >> p[0] >> p[1] >> p[2];
  for (size_t i = 0; i < n; i++) triangles.emplace_back(3 * i, 3 * i + 1, 3 * i + 2);
  auto model = std::make_shared<fcl::BVHModel<fcl::OBBRSSd>>();
  model->beginModel();
  model->addSubModel(points, triangles);
  model->endModel();
  fcl::CollisionObjectd mesh(model, fcl::Transform3d::Identity());

  size_t count;
  std::cin >> count;
  std::vector<fcl::CollisionObjectd> bodies;
  for (size_t i = 0; i < count; i++) {
    std::string kind;
    std::cin >> kind;
    fcl::Transform3d at = fcl::Transform3d::Identity();
    if (kind == "capsule") {
      V a, b;
      double radius;
      std::cin >> a[0] >> a[1] >> a[2] >> b[0] >> b[1] >> b[2] >> radius;
      at.translation() = (a + b) / 2;
      at.linear() = Eigen::Quaterniond::FromTwoVectors(V::UnitZ(), b - a).toRotationMatrix();
      bodies.emplace_back(std::make_shared<fcl::Capsuled>(radius, (b - a).norm()), at);
    } else if (kind == "box") {
      V c, h;
      double turn;
      std::cin >> c[0] >> c[1] >> c[2] >> turn >> h[0] >> h[1] >> h[2];
      at.translation() = c;
      at.linear() = Eigen::AngleAxisd(turn, V::UnitZ()).toRotationMatrix();
      bodies.emplace_back(std::make_shared<fcl::Boxd>(2 * h[0], 2 * h[1], 2 * h[2]), at);
    } else {
      std::cerr << "body " << i << ": what is " << kind << "?\n";
      return 1;
    }
  }
  fcl::CollisionRequestd request(1, false);
  std::vector<char> touches;
  auto start = std::chrono::steady_clock::now();
  for (auto &body : bodies) {
    fcl::CollisionResultd result;
    touches.push_back(fcl::collide(&mesh, &body, request, result) > 0 ? '1' : '0');
  }
  std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  for (char t : touches) std::cout << t << '\n';
  std::cout << took.count() << '\n';
}
