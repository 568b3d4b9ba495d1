"""A photograph of a drilled board: markers found, perspective and lens taken out, holes measured with how sure that is.

The only place that knows OpenCV, which is an extra of the installation and imported when it is asked for.
"""
