# Writes PAGE_ASSETS, a source file that holds the page's templates, style and scripts as text (cli/write/page_assets.h).
# The sums of style and script go into the page's Content-Security-Policy. Re-run when one of the files changes.
set(page_folder ${PROJECT_SOURCE_DIR}/cli/data/page)

# Charts: parts of D3, from Debian's node-d3-* packages, in order of dependency. docs/report.md says why.
set(page_libraries array collection color format interpolate path time time-format scale selection shape axis)
set(page_scripts "")
foreach(part IN LISTS page_libraries)
  find_file(D3_${part} d3-${part}.min.js PATHS /usr/share/nodejs/d3-${part}/dist NO_DEFAULT_PATH REQUIRED)
  list(APPEND page_scripts ${D3_${part}})
endforeach()
list(APPEND page_scripts ${page_folder}/frame.js ${page_folder}/charts.js ${page_folder}/page.js)

set(page_script "\n")
foreach(file IN LISTS page_scripts)
  file(READ ${file} text)
  string(FIND "${text}" "</script" end)
  if(NOT end EQUAL -1)
    message(FATAL_ERROR "${file} holds the end of a script element")
  endif()
  string(APPEND page_script "${text}\n")
endforeach()
file(READ ${page_folder}/page.css page_style)
file(READ ${page_folder}/page.html page_page)
file(READ ${page_folder}/block.html page_block)
file(READ ${page_folder}/table.html page_table)
string(SHA256 page_script_sum "${page_script}")
string(SHA256 page_style_sum "${page_style}")

set(PAGE_ASSETS ${PROJECT_BINARY_DIR}/page_assets.cpp)
set(page_source "// Made by cli/data/page/embed.cmake.\n#include \"cli/write/page_assets.h\"\n\nnamespace tierce::page_assets {\n")
foreach(pair Page:page Block:block Table:table Style:style Script:script)
  string(REGEX REPLACE ":.*" "" name ${pair})
  string(REGEX REPLACE ".*:" "" variable ${pair})
  string(APPEND page_source "const std::string_view k${name} = R\"tierce(${page_${variable}})tierce\";\n")
endforeach()
string(APPEND page_source "const std::string_view kScriptSha256 = \"${page_script_sum}\";\n"
                          "const std::string_view kStyleSha256 = \"${page_style_sum}\";\n"
                          "}  // namespace tierce::page_assets\n")
file(CONFIGURE OUTPUT ${PAGE_ASSETS} CONTENT "@page_source@" @ONLY)
set_property(DIRECTORY ${PROJECT_SOURCE_DIR} APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS
  ${page_scripts} ${page_folder}/page.css ${page_folder}/page.html ${page_folder}/block.html ${page_folder}/table.html)
