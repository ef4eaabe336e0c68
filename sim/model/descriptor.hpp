#pragma once
// A file of the system, closed when it is no longer needed.

#include <unistd.h>

#include <utility>

namespace ridepitch {

/// An open file; what is closed gives back its lock too.
struct Descriptor {
  int number = -1;  ///< under 0: none

  explicit Descriptor(int of) : number(of) {}
  Descriptor(Descriptor&& other) noexcept : number(std::exchange(other.number, -1)) {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    std::swap(number, other.number);
    return *this;
  }
  ~Descriptor() {
    if (number >= 0) close(number);
  }
};

}  // namespace ridepitch
