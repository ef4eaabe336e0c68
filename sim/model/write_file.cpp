#include "model/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <filesystem>
#include <system_error>
#include <utility>

#include "model/descriptor.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;

// Short whatever the file is called, so that a name as long as the system allows can be written beside.
constexpr const char* unfinished = ".ridepitch-unfinished-";

std::string system_words(int error) { return std::generic_category().message(error); }

/// Removes an unfinished file that was not renamed.
struct Unfinished {
  std::string path;

  ~Unfinished() {
    if (!path.empty()) unlink(path.c_str());
  }
};

/// The path of a file behind all links; empty where there is none.
std::string real_path(const std::string& path) {
  char* const found = realpath(path.c_str(), nullptr);
  std::string real = found ? found : "";
  std::free(found);
  return real;
}

/// Why a text can't be written, and the way out.
struct Refusal {
  std::string why, hint = "name a file in a folder that you may write to and that has room", code = "cannot-write";
};

using MaybeRefused = std::optional<Refusal>;

std::optional<Problem> as_problem(const std::string& path, const MaybeRefused& refusal) {
  if (!refusal) return std::nullopt;
  return Problem{.code = refusal->code,
                 .text = fmt::format("'{}' can't be written: {}", printable(path), refusal->why),
                 .hint = refusal->hint};
}

Refusal by_the_system(int error) { return {system_words(error)}; }

/// What stands at a path, links followed.
struct Target {
  std::string path;  ///< the file itself, behind all links
  bool exists = false;
  struct stat status {};

  bool is_plain() const { return S_ISREG(status.st_mode); }
};

/// Where a text for a path would go; refused where none may go there.
MaybeRefused find_target(const std::string& path, Target& target) {
  target.path = path;
  struct stat itself {};
  if (lstat(path.c_str(), &itself) != 0) return errno == ENOENT ? MaybeRefused() : by_the_system(errno);
  if (stat(path.c_str(), &target.status) != 0) {
    if (errno == ENOENT)
      return Refusal{"it is a link to a file that is not there", "name the file itself, or remove the link"};
    return by_the_system(errno);
  }
  target.exists = true;
  if (S_ISDIR(target.status.st_mode)) return Refusal{"it is a folder"};
  if (!target.is_plain()) return std::nullopt;
  if (std::string real = real_path(path); !real.empty()) target.path = std::move(real);
  constexpr mode_t any_may_write = 0222;
  if ((target.status.st_mode & any_may_write) == 0)
    return Refusal{"it is read-only", "make it writable, or name another file", "read-only"};
  if (access(target.path.c_str(), W_OK) != 0) return by_the_system(errno);
  if (target.status.st_nlink > 1)
    return Refusal{fmt::format("it is one file under {} names, and a new text would stand under this one only",
                               target.status.st_nlink),
                   "name another file, or make this one a file of its own: cp FILE COPY, then mv COPY FILE"};
  return std::nullopt;
}

/// Rights of a new file: those of the one it replaces, or what the shell's mask allows.
mode_t rights_for(const Target& target) {
  constexpr mode_t all_rights = 07777, usual_rights = 0666;
  if (target.exists) return target.status.st_mode & all_rights;
  const mode_t mask = umask(0);
  umask(mask);
  return usual_rights & ~mask;
}

MaybeRefused keep_owner_and_rights(int descriptor, const Target& target) {
  struct stat now {};
  if (fstat(descriptor, &now) != 0) return by_the_system(errno);
  const struct stat& old = target.status;
  if (target.exists && (now.st_uid != old.st_uid || now.st_gid != old.st_gid) &&
      fchown(descriptor, old.st_uid, old.st_gid) != 0)
    return Refusal{"it belongs to another user or group, and a new file would be yours", "name another file"};
  if (fchmod(descriptor, rights_for(target)) != 0) return by_the_system(errno);
  return std::nullopt;
}

/// Makes a file beside another one and locks it, so that it is not taken for a leftover.
MaybeRefused open_beside(const std::string& path, Descriptor& descriptor, Unfinished& file) {
  const std::size_t slash = path.find_last_of('/');
  std::string beside = path.substr(0, slash == std::string::npos ? 0 : slash + 1) + unfinished + "XXXXXX";
  descriptor = Descriptor(mkostemp(beside.data(), O_CLOEXEC));
  if (descriptor.number < 0) return by_the_system(errno);
  file.path = beside;
  (void)flock(descriptor.number, LOCK_EX | LOCK_NB);  // without it, the file would only be named to no purpose
  return std::nullopt;
}

MaybeRefused exists_already() {
  return Refusal{"there is a file of that name already", "another name, or --overwrite to replace it", "exists"};
}

MaybeRefused changed_meanwhile() {
  return Refusal{"it changed since it was read; nothing was written",
                 "run it again: what is in the file now is read afresh", "changed-meanwhile"};
}

/// As rename(), but EEXIST where the new name is taken.
int rename_to_new(const std::string& from, const std::string& to) {
#ifdef RENAME_NOREPLACE
  const int done = renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE);
  if (done == 0 || (errno != ENOSYS && errno != EINVAL)) return done;
#endif
  return link(from.c_str(), to.c_str()) == 0 ? unlink(from.c_str()) : -1;
}

enum class Replacing { always, never, what_was_read };

/// A text that lies finished beside its place.
struct Beside {
  Target target;
  Descriptor descriptor = Descriptor(-1);
  Unfinished file = {};
};

MaybeRefused put_beside(Beside& to, const std::string& text) {
  if (auto refusal = open_beside(to.target.path, to.descriptor, to.file)) return refusal;
  if (std::string why = write_all(to.descriptor.number, text); !why.empty()) return Refusal{why};
  // Else, after a loss of power, the name could stand for a file whose text never reached the disk.
  if (fsync(to.descriptor.number) != 0 && errno != EINVAL) return by_the_system(errno);
  return keep_owner_and_rights(to.descriptor.number, to.target);
}

MaybeRefused put_in_place(Beside& from, Replacing replacing, const std::string& was) {
  const Target& target = from.target;
  Unfinished& file = from.file;
  if (replacing == Replacing::what_was_read && read_file_text(target.path, true).text != was)
    return changed_meanwhile();
  const bool replaces = replacing != Replacing::never;
  if ((replaces ? rename(file.path.c_str(), target.path.c_str()) : rename_to_new(file.path, target.path)) != 0)
    return errno == EEXIST ? exists_already() : by_the_system(errno);
  file.path.clear();
  return std::nullopt;
}

/// Writes a text beside a file and puts it in its place.
MaybeRefused write_beside(const Target& target, const std::string& text, Replacing replacing, const std::string& was) {
  Beside beside{target};
  if (auto refusal = put_beside(beside, text)) return refusal;
  return put_in_place(beside, replacing, was);
}

MaybeRefused write_in_place(const std::string& path, const std::string& text) {
  const Descriptor file(open(path.c_str(), O_WRONLY | O_NOCTTY | O_CLOEXEC));
  if (file.number < 0) return by_the_system(errno);
  const std::string why = write_all(file.number, text);
  return why.empty() ? MaybeRefused() : Refusal{why};
}

/// Locks a file against others that replace it. What a path stands for can change while the lock is waited for: then the
/// new file is locked.
MaybeRefused lock_file(const std::string& path, Descriptor& lock) {
  constexpr int look_ms = 20, longest_ms = 10'000;
  for (int waited_ms = 0; waited_ms <= longest_ms; waited_ms += look_ms) {
    Descriptor opened(open(path.c_str(), O_RDONLY | O_NOCTTY | O_CLOEXEC));
    if (opened.number < 0) return by_the_system(errno);
    struct stat held {};
    struct stat there {};
    if (flock(opened.number, LOCK_EX | LOCK_NB) == 0) {
      if (fstat(opened.number, &held) == 0 && stat(path.c_str(), &there) == 0 && held.st_dev == there.st_dev &&
          held.st_ino == there.st_ino) {
        lock = std::move(opened);
        return std::nullopt;
      }
    } else if (errno != EWOULDBLOCK && errno != EINTR) {
      return std::nullopt;  // a file system without locks: the comparison before the rename is all there is
    }
    usleep(1000 * look_ms);
  }
  return Refusal{"another program is writing it", "run it again when that has ended"};
}

MaybeRefused write(const std::string& path, const std::string& text, Replacing replacing, const std::string& was = "") {
  Target target;
  if (auto refusal = find_target(path, target)) return refusal;
  if (target.exists && !target.is_plain()) return write_in_place(path, text);
  if (replacing == Replacing::never && target.exists) return exists_already();
  return write_beside(target, text, replacing, was);
}

}  // namespace

std::string write_all(int descriptor, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t written = ::write(descriptor, text.data() + done, text.size() - done);
    if (written >= 0) {
      done += static_cast<std::size_t>(written);
    } else if (errno != EINTR) {
      return system_words(errno);
    }
  }
  return "";
}

bool same_file(const std::string& a, const std::string& b) {
  // By name first: between two looks another writer may put a new file in the place of the old one.
  const std::string real = real_path(a);
  std::error_code not_there;
  return !real.empty() && (real == real_path(b) || fs::equivalent(a, b, not_there));
}

bool would_replace(const std::string& path) {
  struct stat status {};
  return stat(path.c_str(), &status) == 0 && S_ISREG(status.st_mode);
}

std::optional<Problem> write_file(const std::string& path, const std::string& text) {
  return as_problem(path, write(path, text, Replacing::always));
}

std::optional<Problem> create_file(const std::string& path, const std::string& text) {
  return as_problem(path, write(path, text, Replacing::never));
}

std::optional<Problem> write_files(const std::vector<FileToWrite>& files, bool replace) {
  if (files.size() == 1)
    return replace ? write_file(files[0].path, files[0].text) : create_file(files[0].path, files[0].text);
  std::deque<Beside> finished;  // a member stays where it is
  for (const FileToWrite& file : files) {
    Beside& beside = finished.emplace_back();
    MaybeRefused refusal = find_target(file.path, beside.target);
    if (!refusal && beside.target.exists && !beside.target.is_plain())
      refusal = Refusal{"it is not a plain file, and several are written"};
    if (!refusal && beside.target.exists && !replace) refusal = exists_already();
    if (!refusal) refusal = put_beside(beside, file.text);
    if (refusal) return as_problem(file.path, refusal);
  }
  for (std::size_t i = 0; i < files.size(); ++i) {
    auto refusal = put_in_place(finished[i], replace ? Replacing::always : Replacing::never, "");
    if (!refusal) continue;
    for (std::size_t k = 0; k < i; ++k)
      if (!finished[k].target.exists) unlink(finished[k].target.path.c_str());
    return as_problem(files[i].path, refusal);
  }
  return std::nullopt;
}

std::optional<Problem> replace_file(const std::string& path, const std::string& was, const std::string& text) {
  struct stat status {};
  if (stat(path.c_str(), &status) == 0 && !S_ISREG(status.st_mode))
    return as_problem(path, Refusal{"it is not a plain file, so it can't be changed in place"});
  Descriptor lock(-1);
  if (auto refusal = lock_file(path, lock)) return as_problem(path, refusal);
  return as_problem(path, write(path, text, Replacing::what_was_read, was));
}

std::vector<std::string> leftovers_beside(const std::string& path) {
  const fs::path folder = fs::path(path).parent_path();
  std::vector<std::string> found;
  std::error_code error;
  for (fs::directory_iterator at(folder.empty() ? fs::path(".") : folder, error), end; !error && at != end;
       at.increment(error)) {
    const std::string name = at->path().filename().string();
    if (!name.starts_with(unfinished)) continue;
    const Descriptor file(open(at->path().c_str(), O_RDONLY | O_NOCTTY | O_NONBLOCK | O_CLOEXEC | O_NOFOLLOW));
    if (file.number >= 0 && flock(file.number, LOCK_EX | LOCK_NB) == 0) found.push_back((folder / name).string());
  }
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace ridepitch
