// SPDX-License-Identifier: GPL-3.0-or-later
// The standard library's std::from_chars is the judge of every number.
#include "intake/decimal_lines.h"

#include <gtest/gtest.h>

#include <bit>
#include <charconv>
#include <random>
#include <string>

namespace trueblank::intake {
namespace {

/// The line with as much around it as the readers look at, which must not matter.
std::string padded(const std::string& line) {
  return std::string(static_cast<std::size_t>(bytes_before_line), '7') + line +
         std::string(static_cast<std::size_t>(bytes_of_line), '3');
}

/// How many bytes of the line were taken; 0 for none.
std::ptrdiff_t taken_decimals(const std::string& line, double* numbers) {
  const std::string text = padded(line);
  const char* const at = text.data() + bytes_before_line;
  const char* const next = read_three_decimals(at, numbers);
  return next == nullptr ? 0 : next - at;
}

std::ptrdiff_t taken_counts(const std::string& line, unsigned* numbers) {
  const std::string text = padded(line);
  const char* const at = text.data() + bytes_before_line;
  const char* const next = read_three_counts(at, numbers);
  return next == nullptr ? 0 : next - at;
}

class Numbers {
 public:
  int up_to(int most) { return std::uniform_int_distribution<int>(0, most)(random_); }

  std::string digits(int count) {
    std::string text;
    for (int i = 0; i < count; ++i) text += static_cast<char>('0' + up_to(9));
    return text;
  }

  /// With a sign, a point and zeros in front, or not.
  std::string decimal(int most_digits) {
    const int before = up_to(3);
    const int after = std::max(before == 0 ? 1 : 0, up_to(most_digits - before));
    std::string text = up_to(1) == 0 ? "-" : "";
    text += digits(before);
    if (after > 0 || up_to(1) == 0) text += "." + std::string(after > 4 ? up_to(4) : 0, '0');
    return text + digits(after);
  }

 private:
  std::mt19937 random_{20240517};
};

double value_of(const std::string& text) {
  double value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  EXPECT_EQ(read.ptr, text.data() + text.size()) << text;
  return value;
}

void expect_decimals(const std::string (&words)[3], const std::string& line) {
  double numbers[3];
  ASSERT_GT(taken_decimals(line, numbers), 0) << line;
  for (int k = 0; k < 3; ++k) {
    EXPECT_EQ(std::bit_cast<std::uint64_t>(numbers[k]),
              std::bit_cast<std::uint64_t>(value_of(words[k])))
        << words[k];
  }
}

TEST(DecimalLines, AreReadToTheLastBit) {
  Numbers numbers;
  int taken = 0;
  for (int most_digits : {4, 7, 12, 16, 17, 19}) {
    for (int i = 0; i < 20000; ++i) {
      const std::string words[3] = {numbers.decimal(most_digits), numbers.decimal(most_digits),
                                    numbers.decimal(most_digits)};
      const std::string line =
          words[0] + " " + words[1] + " " + words[2] + (i % 5 == 0 ? "\r\n" : "\n");
      double found[3];
      const std::ptrdiff_t bytes = taken_decimals(line, found);
      if (bytes == 0) continue;
      ++taken;
      ASSERT_EQ(bytes, static_cast<std::ptrdiff_t>(line.size())) << line;
      expect_decimals(words, line);
    }
  }
  EXPECT_GT(taken, 100000) << "most lines are taken";
}

// About where the quick way ends: seven digits before the point, eight after it.
TEST(DecimalLines, AreReadToTheLastBitHoweverManyDigitsStandWhere) {
  Numbers numbers;
  for (int before = 0; before <= 9; ++before) {
    for (int after = 1; after <= 10; ++after) {
      for (int which = 0; which < 3; ++which) {
        SCOPED_TRACE(testing::Message() << before << "." << after << " in number " << which);
        std::string words[3] = {"1234567.12345678", "-9999999.99999999", ".5"};
        words[which] = numbers.digits(before) + "." + numbers.digits(after);
        expect_decimals(words, words[0] + " " + words[1] + " " + words[2] + "\n");
        words[which] = std::string(static_cast<std::size_t>(before), '9') + "." +
                       std::string(static_cast<std::size_t>(after), '9');
        expect_decimals(words, words[0] + " " + words[1] + " " + words[2] + "\n");
      }
    }
  }
}

// Halves between neighbouring doubles, the first number above 2^53, and the greatest in 64 bits.
TEST(DecimalLines, AreReadToTheLastBitWhereItIsClose) {
  for (const char* word :
       {"9007199254740991", "9007199254740992", "9007199254740993", "9007199254740995",
        "900719925474099.3", "1.00000000000000011", "1.0000000000000002", "0.1", ".5", "5.", "-0",
        "-0.0", "4503599627370496.5", "4503599627370497.5", "18439999999999999999",
        ".000000000000000000000001"}) {
    expect_decimals({word, "1", "-2.5"}, std::string(word) + " 1 -2.5\n");
    expect_decimals({"1", "-2.5", word}, std::string("1 -2.5 ") + word + "\n");
  }
}

TEST(DecimalLines, OfAnyOtherShapeAreLeft) {
  double numbers[3];
  EXPECT_EQ(taken_decimals("1 -2.5 3\n", numbers), 9);
  for (const char* line : {"1 2\n",
                           "1 2 3 4\n",
                           "1 2 3 \n",
                           "1  2 3\n",
                           " 1 2 3\n",
                           "1 2 3e5\n",
                           "1 2 +3\n",
                           "1 2 .\n",
                           "1 2 -\n",
                           "- 2 3\n",
                           "1 2- 3\n",
                           "1-2 3 4\n",
                           "1 2 3-\n",
                           "1 2 3-4\n",
                           "--1 2 3\n",
                           "1.2.3 4 5\n",
                           "1 2 3.4.5\n",
                           "1,5 2 3\n",
                           "1 nan 3\n",
                           "1\t2\t3\n",
                           "1 2 3\r3\n",
                           "1 2 3#\n",
                           "1/2 3 4\n",
                           "\n",
                           "1 2 3\\\n",
                           "1 2 1234567890123456789012345\n",
                           "1 2 18449999999999999999\n",
                           "1 2 99999999999999999999\n",
                           "1 2 3"}) {
    EXPECT_EQ(taken_decimals(line, numbers), 0) << line;
  }
}

TEST(CountLines, AreRead) {
  Numbers numbers;
  for (int i = 0; i < 20000; ++i) {
    std::string words[3];
    for (std::string& word : words) word = numbers.digits(1 + numbers.up_to(7));
    const std::string line = words[0] + " " + words[1] + " " + words[2] + "\n";
    unsigned found[3];
    ASSERT_EQ(taken_counts(line, found), static_cast<std::ptrdiff_t>(line.size())) << line;
    for (int k = 0; k < 3; ++k) EXPECT_EQ(found[k], std::stoul(words[k])) << line;
  }
}

TEST(CountLines, OfAnyOtherShapeAreLeft) {
  unsigned numbers[3];
  EXPECT_EQ(taken_counts("1 20 300\r\n", numbers), 10);
  for (const char* line :
       {"1 2\n", "1 2 3 4\n", "1 2 3 \n", "1 2  3\n", "1 2 -3\n", "1 2 +3\n", "1 2 3.\n",
        "1/1 2/2 3/3\n", "1 2 123456789\n", "\n", "1 2 3\\\n", "1 2 3\r3\n", "1 2 3"}) {
    EXPECT_EQ(taken_counts(line, numbers), 0) << line;
  }
}

}  // namespace
}  // namespace trueblank::intake
