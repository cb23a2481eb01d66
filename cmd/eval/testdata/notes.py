# Scores lists of notes as mir_eval's transcription.precision_recall_f1_overlap
# does without offsets. In: one JSON object a line, {"reference": [[seconds, Hz],
# ...], "estimated": [...]}. Out: precision, recall and F, a line for each.
import json
import sys
import warnings

import numpy as np
from mir_eval.transcription import precision_recall_f1_overlap

warnings.simplefilter("ignore")  # about empty lists


def arrays(notes):
    a = np.array(notes, dtype=float).reshape(-1, 2)
    return np.stack([a[:, 0], a[:, 0] + 0.1], axis=1), a[:, 1]


for line in sys.stdin:
    case = json.loads(line)
    scores = precision_recall_f1_overlap(*arrays(case["reference"]), *arrays(case["estimated"]),
                                         onset_tolerance=0.05, pitch_tolerance=50.0, offset_ratio=None)
    print("%.12f %.12f %.12f" % scores[:3])
