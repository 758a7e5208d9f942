// Every output that --json prints and whose rows are described: for the schemas.
#pragma once

#include "cli/write/schema.h"

namespace tierce {

const OutputShapes& outputs();

}  // namespace tierce
