import numpy as np
