#include "model/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <system_error>

#include "model/text_file.hpp"

namespace ridepitch {
namespace {

std::string system_words(int error) { return std::generic_category().message(error); }

/// Closes its descriptor, and removes a temporary file that was not renamed.
struct Temporary {
  int descriptor = -1;
  std::string path;

  ~Temporary() {
    if (descriptor >= 0) close(descriptor);
    if (!path.empty()) unlink(path.c_str());
  }
};

Problem cannot_write(const std::string& path, const std::string& why) {
  Problem problem;
  problem.code = "cannot-write";
  problem.text = fmt::format("'{}' can't be written: {}", printable(path), why);
  problem.hint = "name a file in a folder that you may write to and that has room";
  return problem;
}

/// Rights of a new file: those of the one it replaces, or what the shell's mask allows.
mode_t rights_for(const struct stat* old) {
  if (old) return old->st_mode & 0777;
  const mode_t mask = umask(0);
  umask(mask);
  return 0666 & ~mask;
}

std::string write_in_place(const std::string& path, const std::string& text) {
  Temporary file;
  file.descriptor = open(path.c_str(), O_WRONLY | O_NOCTTY | O_CLOEXEC);
  return file.descriptor < 0 ? system_words(errno) : write_all(file.descriptor, text);
}

std::string write_beside(const std::string& path, const std::string& text, const struct stat* old) {
  Temporary file;
  std::string beside = path + ".XXXXXX";
  file.descriptor = mkstemp(beside.data());
  if (file.descriptor < 0) return system_words(errno);
  file.path = beside;
  if (std::string why = write_all(file.descriptor, text); !why.empty()) return why;
  // Else, after a loss of power, the name could stand for a file whose text never reached the disk.
  if (fsync(file.descriptor) != 0 && errno != EINVAL) return system_words(errno);
  if (fchmod(file.descriptor, rights_for(old)) != 0) return system_words(errno);
  const int closed = close(file.descriptor);
  file.descriptor = -1;
  if (closed != 0 || rename(beside.c_str(), path.c_str()) != 0) return system_words(errno);
  file.path.clear();
  return "";
}

}  // namespace

std::string write_all(int descriptor, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t written = write(descriptor, text.data() + done, text.size() - done);
    if (written >= 0) {
      done += static_cast<std::size_t>(written);
    } else if (errno != EINTR) {
      return system_words(errno);
    }
  }
  return "";
}

std::optional<Problem> write_file(const std::string& path, const std::string& text) {
  struct stat old {};
  const bool exists = stat(path.c_str(), &old) == 0;
  if (exists && S_ISDIR(old.st_mode)) return cannot_write(path, "it is a folder");
  if (exists && !S_ISREG(old.st_mode)) {
    const std::string why = write_in_place(path, text);
    return why.empty() ? std::nullopt : std::optional(cannot_write(path, why));
  }

  std::string target = path;
  if (exists) {
    if (char* real = realpath(path.c_str(), nullptr)) {
      target = real;
      std::free(real);
    }
    if (access(target.c_str(), W_OK) != 0) return cannot_write(path, system_words(errno));
  }
  const std::string why = write_beside(target, text, exists ? &old : nullptr);
  return why.empty() ? std::nullopt : std::optional(cannot_write(path, why));
}

}  // namespace ridepitch
