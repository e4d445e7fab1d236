// The student's page keeps what is typed until it is written down.

import { keepDrafts } from "./drafts.js";

keepDrafts();
