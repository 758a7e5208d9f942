// How figures, tables and files are written.
#include "cli/write/write.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "cli/record/write_file.h"
#include "cli/write/document.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

TEST(Rounding, AgesAndSharesThatSupportAClaimAreRoundedDown) {
  EXPECT_EQ(number_text(4.99, Figure::age, Units::metric), "4.9");
  EXPECT_EQ(number_text(2.9999999999999, Figure::age, Units::metric), "3.0");  // 3 less a rounding error of the sum
  EXPECT_EQ(number_text(0.74999, Figure::share, Units::metric), "74.9");
  EXPECT_EQ(number_text(18.66, Figure::alcohol_pct, Units::metric), "18.7");
}

TEST(Rounding, UnknownFiguresShowADashAndNoMinusStandsBeforeZero) {
  EXPECT_EQ(number_text(kUnknown, Figure::litres, Units::metric), "-");
  EXPECT_EQ(number_text(-0.2, Figure::litres, Units::metric), "0");
  EXPECT_EQ(number_text(0.004, Figure::alcohol_change, Units::metric), "0.00");
  EXPECT_EQ(number_text(0.05, Figure::alcohol_change, Units::metric), "+0.05");
}

// 1 US gallon is 231 cubic inches, 3.785411784 L exactly (NIST Handbook 44, appendix C).
TEST(Units, GallonsAreWineGallons) {
  EXPECT_EQ(number_text(3785.411784, Figure::litres, Units::us), "1,000.0");
  EXPECT_EQ(number_text(1234567.0, Figure::litres, Units::metric), "1,234,567");
}

TEST(Tables, AlignNumbersToTheRightUnderTheirUnits) {
  const Table table{{{"lot"}, {"volume", Figure::litres}},
                    {{std::string("GG21"), 1200.0}, {std::string("Grenache gris"), 5.0}}};
  Document document;
  document.add(table);
  EXPECT_EQ(text_of(document, Units::metric),
            "lot            volume\n"
            "                    L\n"
            "GG21            1,200\n"
            "Grenache gris       5\n");
}

// RFC 4180: lines end in CR LF; a cell with a comma or a quote stands in quotes, quotes doubled.
TEST(Csv, FollowsRfc4180AndKeepsFullPrecision) {
  const Table table{{{"lot"}, {"mean\nage", Figure::age, "", "mean_y"}},
                    {{std::string("a, \"b\""), 1.0 / 3.0}, {std::string("c"), kUnknown}}};
  EXPECT_EQ(csv_of(table, Units::metric), "lot,mean_y\r\n\"a, \"\"b\"\"\",0.3333333333333333\r\nc,\r\n");
}

TEST(Paragraphs, BreakAtThePageWidthAndKeepAFigureWithItsUnit) {
  const auto said = [](std::size_t letters) {
    Document document;
    document.say(std::string(letters, 'x') + " " + figure_text(12.0, Figure::litres, Units::metric));
    return text_of(document, Units::metric);
  };
  const std::string text = said(94);
  EXPECT_EQ(text, std::string(94, 'x') + " 12 L\n");
  const std::string broken = said(97);
  EXPECT_EQ(broken, std::string(97, 'x') + "\n12 L\n");
}

class WriteFile : public testing::Test {
 protected:
  void SetUp() override { std::filesystem::create_directories(folder_); }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  // Its own for each process: tests run side by side.
  const std::filesystem::path folder_ =
      std::filesystem::temp_directory_path() / ("tierce-write-test-" + std::to_string(getpid()));
};

TEST_F(WriteFile, ReplacesTheWholeFileAndLeavesNothingBehind) {
  const std::string path = (folder_ / "report.txt").string();
  EXPECT_EQ(write_file(path, "old and long"), "");
  EXPECT_EQ(write_file(path, "new"), "");
  EXPECT_EQ(test::read_file(path), "new");
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder_), {}), 1);
}

TEST_F(WriteFile, SaysWhyItCannot) {
  EXPECT_EQ(write_file(folder_.string(), "x"), "is a directory");
  EXPECT_EQ(write_file((folder_ / "no" / "such" / "folder").string(), "x"), "No such file or directory");
}

TEST_F(WriteFile, KeepsALinkAndWritesToADeviceAsItStands) {
  const auto target = folder_ / "target", link = folder_ / "link";
  ASSERT_EQ(write_file(target.string(), "old"), "");
  std::filesystem::create_symlink(target, link);
  EXPECT_EQ(write_file(link.string(), "new"), "");
  EXPECT_TRUE(std::filesystem::is_symlink(link));
  EXPECT_EQ(test::read_file(target.string()), "new");
  EXPECT_EQ(write_file("/dev/null", "x"), "");
  EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
}

}  // namespace
}  // namespace tierce
