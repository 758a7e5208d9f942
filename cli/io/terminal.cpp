#include "cli/io/terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

namespace tierce {

std::optional<std::size_t> terminal_columns() {
  winsize size{};
  if (::isatty(STDOUT_FILENO) == 0 || ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
    return std::nullopt;
  return size.ws_col;
}

}  // namespace tierce
