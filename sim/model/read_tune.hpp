#pragma once
// The [tune] section.

#include "model/linkage_draft.hpp"
#include "model/read_corners.hpp"
#include "model/tune.hpp"

namespace ridepitch {

/// Reads `[tune]` into model.tune. Everything else of the model is read already.
void read_tune(const Fields& root, const PartsAndUnits& parts, VehicleDraft& draft);

/// Reads one `[[tune.want]]` or `[[tune.need]]`.
void read_want(const Fields& fields, const VehicleDraft& draft, Tune& tune);
void read_need(const Fields& fields, const VehicleDraft& draft, Tune& tune);

}  // namespace ridepitch
