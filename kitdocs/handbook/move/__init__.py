"""The move to sets itself: plan, training, self-test, first week."""
