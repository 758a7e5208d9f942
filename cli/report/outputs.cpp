#include "cli/report/outputs.h"

#include "cli/report/check.h"
#include "cli/report/compare.h"
#include "cli/report/dose.h"
#include "cli/report/fortify/fortify.h"
#include "cli/report/label/label.h"
#include "cli/report/losses.h"
#include "cli/report/page/output.h"
#include "cli/report/premises.h"
#include "cli/report/record.h"
#include "cli/report/refresh/refresh_rows.h"
#include "cli/report/run_outputs.h"
#include "cli/report/run_rows.h"
#include "cli/report/target.h"
#include "cli/report/trace.h"

namespace tierce {

const OutputShapes& outputs() {
  static const OutputShapes kOutputs = {{{"check", &kCheckOutput},
                                         {"stock", &kStockOutput},
                                         {"age", &kAgeOutput},
                                         {"trace", &kTraceOutput},
                                         {"losses", &kLossesOutput},
                                         {"forecast", &kForecastOutput},
                                         {"dose", &kDoseOutput},
                                         {"label", &kLabelOutput},
                                         {"compare", &kCompareOutput},
                                         {"target", &kTargetOutput},
                                         {"refresh", &kRefreshOutput},
                                         {"fortify", &kFortifyOutput},
                                         {"report", &kReportOutput},
                                         {"record", &kRecordOutput},
                                         {"new", &kNewOutput}},
                                        {&kPremisesStock, &kPremisesLosses, &kImpossiblePlan, &kOrderSum}};
  return kOutputs;
}

}  // namespace tierce
