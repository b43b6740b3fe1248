publish_first_plan = None
