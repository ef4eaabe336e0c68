// What the window remembers between two runs.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "rigs/files.hpp"
#include "state/settings.hpp"

namespace ridepitch::view {
namespace {

TEST(Settings, are_read_as_they_were_written_and_nonsense_is_passed_over) {
  Settings settings;
  settings.width = 1500;
  settings.dark = true;
  settings.left = 0.25;
  remember(settings, "/a/b.toml");
  remember(settings, "/a/c.toml");
  remember(settings, "/a/b.toml");
  EXPECT_EQ(settings.recent, (std::vector<std::string>{"/a/b.toml", "/a/c.toml"}));
  const Settings again = read_settings(settings_text(settings));
  EXPECT_EQ(again.width, 1500);
  EXPECT_TRUE(again.dark);
  EXPECT_EQ(again.left, 0.25);
  EXPECT_EQ(again.recent, settings.recent);
  const Settings nonsense = read_settings("width = -3\nheight = much\n\nwhat\nleft = 1e9\n=\n");
  EXPECT_EQ(nonsense.width, Settings{}.width);
  EXPECT_EQ(nonsense.height, Settings{}.height);
  EXPECT_EQ(nonsense.left, Settings{}.left);
}

TEST(Settings, keep_the_latest_files_only_each_once_and_by_its_full_name) {
  Settings settings;
  for (int i = 0; i < 12; ++i) remember(settings, fmt::format("/a/{}.toml", i));
  remember(settings, "/a/b/../7.toml");
  ASSERT_EQ(settings.recent.size(), most_recent);
  EXPECT_EQ(settings.recent.front(), "/a/7.toml");
  EXPECT_EQ(settings.recent[1], "/a/11.toml");
  EXPECT_EQ(std::count(settings.recent.begin(), settings.recent.end(), "/a/7.toml"), 1);
  remember(settings, "beside.toml");
  EXPECT_EQ(settings.recent.front(), (std::filesystem::current_path() / "beside.toml").string());
}

TEST(Settings, are_stored_where_the_XDG_specification_has_them_and_a_folder_that_cant_be_made_is_no_harm) {
  const Folder folder;
  const char* config = std::getenv("XDG_CONFIG_HOME");
  const std::string before = config ? config : "";
  setenv("XDG_CONFIG_HOME", folder.path.c_str(), 1);
  EXPECT_EQ(settings_path(), folder.file("ridepitch/view.conf"));
  EXPECT_EQ(load_settings().bottom, Settings{}.bottom);
  Settings settings;
  settings.bottom = 0.45;
  settings.zoom = 1.25;
  remember(settings, "/a/c.toml");
  store_settings(settings);
  const Settings again = load_settings();
  EXPECT_EQ(again.bottom, 0.45);
  EXPECT_EQ(again.zoom, 1.25);
  EXPECT_EQ(again.recent, settings.recent);
  // XDG Base Directory Specification: "All paths set in these environment variables must be absolute"; others are passed over.
  setenv("XDG_CONFIG_HOME", "somewhere", 1);
  EXPECT_NE(settings_path().front(), 's');
  setenv("XDG_CONFIG_HOME", folder.write("file", "no folder").c_str(), 1);
  store_settings(settings);
  EXPECT_EQ(text_of(folder.file("file")), "no folder");
  if (config)
    setenv("XDG_CONFIG_HOME", before.c_str(), 1);
  else
    unsetenv("XDG_CONFIG_HOME");
}

}  // namespace
}  // namespace ridepitch::view
