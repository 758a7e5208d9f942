// What is built into the program for its page: the files of cli/page/ and the chart library. CMake makes the .cpp.
#pragma once

#include <string_view>

namespace tierce::page_assets {

extern const std::string_view kPage, kBlock, kTable;  // templates
extern const std::string_view kStyle;
extern const std::string_view kScript;                      // chart library, then our own
extern const std::string_view kStyleSha256, kScriptSha256;  // hexadecimal

}  // namespace tierce::page_assets
