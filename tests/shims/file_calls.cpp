// Stands between the program and the system's file calls (LD_PRELOAD), so that tests can stop a write anywhere:
//
//   FILE_CALLS_KILL_AT=N       kill the program before its Nth call, counted from the making of an unfinished file
//   FILE_CALLS_HOLD=PATH       before a rename, make PATH.here and wait for PATH.go
//   FILE_CALLS_FULL=1          the disk is full: nothing can be written to plain files
//   FILE_CALLS_NO_OWNER=1      owners can't be set

#include <dlfcn.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <string>

namespace {

std::atomic<int> calls{0};
std::atomic<bool> counting{false};

template <class Function>
Function* next(const char* name) {
  return reinterpret_cast<Function*>(dlsym(RTLD_NEXT, name));
}

void count() {
  const char* at = std::getenv("FILE_CALLS_KILL_AT");
  if (at && counting && ++calls == std::atoi(at)) kill(getpid(), SIGKILL);
}

void hold() {
  const char* at = std::getenv("FILE_CALLS_HOLD");
  if (!at) return;
  const std::string path = at;
  close(open((path + ".here").c_str(), O_CREAT | O_WRONLY | O_CLOEXEC, 0600));
  while (access((path + ".go").c_str(), F_OK) != 0) usleep(1000);
}

}  // namespace

extern "C" {

int mkostemp(char* name, int flags) {
  counting = true;
  count();
  return next<int(char*, int)>("mkostemp")(name, flags);
}

ssize_t write(int descriptor, const void* bytes, size_t size) {
  count();
  struct stat status {};
  if (std::getenv("FILE_CALLS_FULL") && fstat(descriptor, &status) == 0 && S_ISREG(status.st_mode)) {
    errno = ENOSPC;
    return -1;
  }
  return next<ssize_t(int, const void*, size_t)>("write")(descriptor, bytes, size);
}

int fsync(int descriptor) {
  count();
  return next<int(int)>("fsync")(descriptor);
}

int fchown(int descriptor, uid_t owner, gid_t group) {
  count();
  if (std::getenv("FILE_CALLS_NO_OWNER")) {
    errno = EPERM;
    return -1;
  }
  return next<int(int, uid_t, gid_t)>("fchown")(descriptor, owner, group);
}

int fchmod(int descriptor, mode_t mode) {
  count();
  return next<int(int, mode_t)>("fchmod")(descriptor, mode);
}

int rename(const char* from, const char* to) {
  count();
  hold();
  return next<int(const char*, const char*)>("rename")(from, to);
}

int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
  count();
  hold();
  return next<int(int, const char*, int, const char*, unsigned)>("renameat2")(from_folder, from, to_folder, to, flags);
}

int close(int descriptor) {
  count();
  return next<int(int)>("close")(descriptor);
}

}  // extern "C"
